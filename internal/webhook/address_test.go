package webhook_test

import (
	"context"
	"errors"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"golang.org/x/net/dns/dnsmessage"

	"rootcue/internal/webhook"
)

// Addresses from the IANA special-purpose address registries (RFC 6890 and
// later), and some of the public internet.
func TestPublic(t *testing.T) {
	for address, want := range map[string]bool{
		"93.184.215.14": true, "8.8.8.8": true, "2606:2800:21f:cb07:6820:80da:af6b:8b2c": true, "172.32.0.1": true, "172.15.255.255": true, "100.128.0.1": true,
		"127.0.0.1": false, "127.255.255.254": false, "::1": false, "0.0.0.0": false, "0.1.2.3": false, "::": false,
		"10.0.0.1": false, "172.16.0.1": false, "172.31.255.255": false, "192.168.1.1": false, "fd00::1": false, "fc00::1": false,
		"169.254.169.254": false, "fe80::1": false, "fe80::1%eth0": false, "fec0::1": false,
		"100.64.0.1": false, "100.127.255.255": false, "192.0.0.1": false, "192.0.2.1": false, "198.18.0.1": false, "198.51.100.1": false, "203.0.113.1": false,
		"224.0.0.1": false, "239.255.255.255": false, "ff02::1": false, "240.0.0.1": false, "255.255.255.255": false,
		"::ffff:127.0.0.1": false, "::ffff:10.0.0.1": false, "::ffff:169.254.169.254": false, "::ffff:8.8.8.8": true, "::127.0.0.1": false,
		"64:ff9b::7f00:1": false, "64:ff9b::a00:1": false, "2002:7f00:1::": false, "2001:db8::1": false, "2001::1": false, "100::1": false,
	} {
		if got := webhook.Public(netip.MustParseAddr(address)); got != want {
			t.Errorf("%s: found %v, want %v", address, got, want)
		}
	}
}

// send posts an empty message.
func send(s *webhook.Sender, address string) (int, error) {
	return s.Send(context.Background(), address, []string{"whsec_AAAA"}, "id", time.Now(), []byte("{}"))
}

// counting is a server that counts requests.
func counting(t *testing.T, status int, header http.Header) (*httptest.Server, *atomic.Int64) {
	var n atomic.Int64
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		n.Add(1)
		for name, values := range header {
			w.Header()[name] = values
		}
		w.WriteHeader(status)
	}))
	t.Cleanup(server.Close)
	return server, &n
}

func TestOwnMachineIsNotCalled(t *testing.T) {
	server, n := counting(t, 204, nil)
	_, port, _ := net.SplitHostPort(server.Listener.Addr().String())
	for _, host := range []string{"127.0.0.1", "localhost", "[::ffff:127.0.0.1]", "[::1]", "0.0.0.0", "0", "127.1", "2130706433", "0x7f000001", "10.255.255.1", "169.254.169.254", "[fe80::1%25lo]"} {
		if _, err := send(webhook.New(false, nil), "http://"+host+":"+port+"/"); err == nil {
			t.Errorf("%s was called", host)
		}
	}
	if n.Load() != 0 {
		t.Errorf("%d requests arrived", n.Load())
	}
	if status, err := send(webhook.New(true, nil), server.URL); err != nil || status != 204 || n.Load() != 1 {
		t.Errorf("where it is allowed: %d, %v, %d requests", status, err, n.Load())
	}
	if _, err := send(webhook.New(true, nil), "http://10.0.0.1:"+port+"/"); !errors.Is(err, webhook.ErrForbidden) {
		t.Errorf("a private address beside loopback: %v", err)
	}
}

// A redirect is an answer: it leads nowhere.
func TestRedirectsAreNotFollowed(t *testing.T) {
	inner, inside := counting(t, 204, nil)
	outer, _ := counting(t, 302, http.Header{"Location": {inner.URL}})
	status, err := send(webhook.New(true, nil), outer.URL)
	if err != nil || status != 302 || inside.Load() != 0 {
		t.Errorf("found %d, %v, %d requests behind the redirect", status, err, inside.Load())
	}
}

// A name that a nameserver answers with a public address first and with this
// machine's next (DNS rebinding) is refused whatever was answered before: the
// address is looked at when the connection is made.
func TestRebinding(t *testing.T) {
	server, n := counting(t, 204, nil)
	_, port, _ := net.SplitHostPort(server.Listener.Addr().String())
	var asked atomic.Int64
	resolver := nameserver(t, func() [4]byte {
		if asked.Add(1) == 1 {
			return [4]byte{8, 8, 8, 8}
		}
		return [4]byte{127, 0, 0, 1}
	})
	if got, err := resolver.LookupHost(context.Background(), "rebind.example."); err != nil || got[0] != "8.8.8.8" {
		t.Fatalf("the test's nameserver answers %v, %v", got, err)
	}
	_, err := send(webhook.New(false, resolver), "http://rebind.example.:"+port+"/")
	if !errors.Is(err, webhook.ErrForbidden) || n.Load() != 0 || asked.Load() < 2 {
		t.Errorf("found %v, %d requests, %d questions", err, n.Load(), asked.Load())
	}
	if status, err := send(webhook.New(true, resolver), "http://rebind.example.:"+port+"/"); err != nil || status != 204 {
		t.Errorf("the same name where loopback is allowed: %d, %v", status, err)
	}
}

// nameserver answers every question for an IPv4 address.
func nameserver(t *testing.T, address func() [4]byte) *net.Resolver {
	t.Helper()
	conn, err := net.ListenPacket("udp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	go func() {
		buf := make([]byte, 1500)
		for {
			n, from, err := conn.ReadFrom(buf)
			if err != nil {
				return
			}
			var m dnsmessage.Message
			if m.Unpack(buf[:n]) != nil {
				continue
			}
			m.Response, m.RecursionAvailable, m.Additionals = true, true, nil
			for _, q := range m.Questions {
				if q.Type == dnsmessage.TypeA {
					m.Answers = append(m.Answers, dnsmessage.Resource{Header: dnsmessage.ResourceHeader{Name: q.Name, Class: q.Class, TTL: 0}, Body: &dnsmessage.AResource{A: address()}})
				}
			}
			if b, err := m.Pack(); err == nil {
				_, _ = conn.WriteTo(b, from) // the test sees what is missing
			}
		}
	}()
	return &net.Resolver{PreferGo: true, Dial: func(ctx context.Context, _, _ string) (net.Conn, error) {
		return (&net.Dialer{}).DialContext(ctx, "udp", conn.LocalAddr().String())
	}}
}

// Errors go into a table that people read: they hold no address.
func TestErrorsHoldNoAddress(t *testing.T) {
	for _, address := range []string{"http://127.0.0.1:9/token-1234", "http://no-such-host.invalid/token-1234", "https://127.0.0.1:9/token-1234", "http://[bad/token-1234"} {
		if _, err := send(webhook.New(true, nil), address); err == nil || strings.Contains(err.Error(), "token-1234") {
			t.Errorf("%s: %v", address, err)
		}
	}
}

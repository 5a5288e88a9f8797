package webhook

import (
	"net"
	"net/netip"
	"testing"
)

// An address that may be called is none that the standard library calls
// private, of this machine, of this link or of many, in whatever form it is
// written; an IPv4 address within IPv6 is judged as itself.
func FuzzControl(f *testing.F) {
	for _, s := range []string{"8.8.8.8:443", "[::ffff:10.0.0.1]:80", "[64:ff9b::7f00:1]:1", "[fe80::1%lo]:1", "0:1", "127.1:1", "2130706433:1", "[::]:1", "a:1", "[2002:7f00:1::]:1"} {
		f.Add(s)
	}
	strict, lax := New(false, nil), New(true, nil)
	f.Fuzz(func(t *testing.T, address string) {
		for _, network := range []string{"udp", "unix", "ip", "tcp"} {
			if strict.control(network, address, nil) == nil {
				t.Fatalf("%s over %s", address, network)
			}
		}
		err := strict.control("tcp6", address, nil)
		host, _, split := net.SplitHostPort(address)
		ip := net.ParseIP(host)
		if err == nil && (split != nil || ip == nil && netip.MustParseAddr(host).Zone() == "") {
			t.Fatalf("called: %q", address)
		}
		if ip == nil {
			return
		}
		local := ip.IsLoopback() || ip.IsPrivate() || ip.IsUnspecified() || ip.IsMulticast() || ip.IsLinkLocalUnicast() || ip.IsInterfaceLocalMulticast() || ip.Equal(net.IPv4bcast)
		if err == nil && local {
			t.Fatalf("called: %q", address)
		}
		if lax.control("tcp4", address, nil) == nil && local && !ip.IsLoopback() {
			t.Fatalf("called beside loopback: %q", address)
		}
		if v4 := ip.To4(); v4 != nil && Public(netip.AddrFrom4([4]byte(v4))) != Public(netip.AddrFrom16([16]byte(v4.To16()))) {
			t.Fatalf("%v is judged in two ways", v4)
		}
	})
}

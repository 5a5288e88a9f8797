package webhook

import (
	"bytes"
	"context"
	"crypto/tls"
	"errors"
	"io"
	"net"
	"net/http"
	"net/url"
	"time"
)

// Times a receiver has: to be reached, and in all.
const (
	dialTime = 5 * time.Second
	sendTime = 15 * time.Second // the specification says 15 to 30 s
)

// A Sender sends messages. Make it with New; it is safe in all goroutines.
type Sender struct {
	AllowLoopback bool // for tests and demonstrations only

	client *http.Client
}

// New makes a sender. resolver finds addresses; nil is the system's.
func New(allowLoopback bool, resolver *net.Resolver) *Sender {
	s := &Sender{AllowLoopback: allowLoopback}
	dialer := &net.Dialer{Timeout: dialTime, Control: s.control, Resolver: resolver}
	s.client = &http.Client{
		Timeout: sendTime,
		Transport: &http.Transport{
			Proxy:                  nil, // a proxy would connect where we may not
			DialContext:            dialer.DialContext,
			TLSClientConfig:        &tls.Config{MinVersion: tls.VersionTLS12},
			TLSHandshakeTimeout:    dialTime,
			MaxResponseHeaderBytes: 16 << 10,
			DisableKeepAlives:      true, // the next message may go to another address
		},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
	return s
}

// Loopback tells whether addresses of this machine may be called.
func (s *Sender) Loopback() bool { return s.AllowLoopback }

// Send posts a message, signed with each of the secrets, and gives the status of
// the answer, whose body nobody reads. Redirects are answers, not followed.
func (s *Sender) Send(ctx context.Context, address string, secrets []string, id string, at time.Time, body []byte) (int, error) {
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, address, bytes.NewReader(body))
	if err != nil {
		return 0, errors.New("the address cannot be called")
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("User-Agent", "rootcue")
	if err := setHeaders(req.Header, secrets, id, at, body); err != nil {
		return 0, err
	}
	resp, err := s.client.Do(req)
	if err != nil {
		return 0, plain(err)
	}
	defer resp.Body.Close()
	_, _ = io.CopyN(io.Discard, resp.Body, 4<<10) // politeness; nothing hangs on it
	return resp.StatusCode, nil
}

// plain is an error without the address, which may hold a secret.
func plain(err error) error {
	var dns *net.DNSError
	var of *url.Error
	switch {
	case errors.Is(err, ErrForbidden):
		return ErrForbidden
	case errors.As(err, &dns):
		return errors.New("the host's name is not known")
	case errors.As(err, &of) && of.Timeout():
		return errors.New("no answer in time")
	}
	var verify *tls.CertificateVerificationError
	if errors.As(err, &verify) {
		return errors.New("the host's certificate is not good")
	}
	var op *net.OpError
	if errors.As(err, &op) {
		return errors.New("no connection")
	}
	return errors.New("the exchange broke off")
}

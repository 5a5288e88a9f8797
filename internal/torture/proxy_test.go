package torture_test

import (
	"io"
	"net"
	"net/url"
	"sync"
	"testing"
	"time"
)

// A proxy stands between the server and PostgreSQL, and is the network.
type proxy struct {
	socket   string
	listener net.Listener

	mu    sync.Mutex
	conns map[net.Conn]bool
	off   bool
	gate  sync.RWMutex // held for writing while the network stalls
}

func newProxy(t testing.TB, socket string) *proxy {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	p := &proxy{socket: socket, listener: l, conns: map[net.Conn]bool{}}
	go p.serve()
	t.Cleanup(func() {
		l.Close()
		p.cut(true)
	})
	return p
}

// url is a database's URL through the proxy.
func (p *proxy) url(database string) string {
	u, err := url.Parse(database)
	if err != nil {
		panic(err) // it was made by the tests
	}
	u.Host, u.RawQuery = p.listener.Addr().String(), "sslmode=disable"
	return u.String()
}

func (p *proxy) serve() {
	for {
		near, err := p.listener.Accept()
		if err != nil {
			return
		}
		far, err := net.DialTimeout("unix", p.socket, time.Second)
		if err != nil || !p.keep(near, far) {
			near.Close()
			continue
		}
		go p.pass(near, far)
		go p.pass(far, near)
	}
}

func (p *proxy) keep(near, far net.Conn) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.off {
		far.Close()
		return false
	}
	p.conns[near], p.conns[far] = true, true
	return true
}

func (p *proxy) pass(to io.WriteCloser, from net.Conn) {
	defer to.Close()
	b := make([]byte, 32<<10)
	for {
		n, err := from.Read(b)
		if _, failed := p.write(to, b[:n]); err != nil || failed != nil {
			return
		}
	}
}

// write waits while the network stalls.
func (p *proxy) write(to io.Writer, b []byte) (int, error) {
	p.gate.RLock()
	defer p.gate.RUnlock()
	return to.Write(b)
}

// cut breaks every connection and lets none come up until it is taken back.
func (p *proxy) cut(off bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.off = off
	if off {
		for c := range p.conns {
			c.Close()
		}
		clear(p.conns)
	}
}

// stall lets nothing through, and breaks nothing.
func (p *proxy) stall(on bool) {
	if on {
		p.gate.Lock()
	} else {
		p.gate.Unlock()
	}
}

package api_test

import (
	"bufio"
	"context"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"go.uber.org/goleak"

	"rootcue/api"
)

// A server told to stop answers what is under way, takes nothing new and
// leaves nothing running.
func TestServeStopsGracefully(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	inside, leave := make(chan bool), make(chan bool)
	handler := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		inside <- true
		<-leave
		_, _ = io.WriteString(w, "whole")
	})
	ctx, stop := context.WithCancel(context.Background())
	served := make(chan error)
	go func() { served <- api.Serve(ctx, l, handler) }()
	client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
	got := make(chan string)
	go func() {
		res, err := client.Get("http://" + l.Addr().String())
		if err != nil {
			got <- err.Error()
			return
		}
		defer res.Body.Close()
		b, err := io.ReadAll(res.Body)
		if err != nil {
			got <- err.Error()
			return
		}
		got <- string(b)
	}()
	<-inside
	stop()
	for { // until the listener is closed
		c, err := net.Dial("tcp", l.Addr().String())
		if err != nil {
			break
		}
		c.Close()
		time.Sleep(time.Millisecond)
	}
	leave <- true
	if body := <-got; body != "whole" {
		t.Errorf("the request under way got %q", body)
	}
	if err := <-served; err != nil {
		t.Errorf("Serve ends with %v", err)
	}
}

func TestServeTellsThatItCannot(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	l.Close()
	if err := api.Serve(context.Background(), l, http.NotFoundHandler()); err == nil {
		t.Error("serving on a closed listener ends without an error")
	}
}

// Chunks that are none are the sender's mistake, and a chunked request is the
// last on its connection: with a Content-Length beside it, another server on
// the way may have seen its end elsewhere.
func TestBrokenChunks(t *testing.T) {
	server := httptest.NewServer(newServer(t, nil))
	defer server.Close()
	for body, want := range map[string]int{"zz\r\n{}\r\n0\r\n\r\n": 400, "1\r\n{}\r\n0\r\n\r\n": 400, "fffffffffffffffff\r\n{}": 400, "2\r\n{}\r\n0\r\n\r\n": 422} {
		conn, err := net.Dial("tcp", server.Listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		if _, err := io.WriteString(conn, "POST /v1/assess HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\nContent-Length: 3\r\n\r\n"+body); err != nil {
			t.Fatal(err)
		}
		_ = conn.SetReadDeadline(time.Now().Add(10 * time.Second))
		r := bufio.NewReader(conn)
		res, err := http.ReadResponse(r, nil)
		if err != nil {
			t.Fatal(err)
		}
		said, err := io.ReadAll(res.Body)
		if err != nil || res.StatusCode != want || !res.Close {
			t.Errorf("%q is answered %d, to be closed %v, %v: %s", body, res.StatusCode, res.Close, err, said)
		}
		if _, err := r.ReadByte(); err != io.EOF {
			t.Errorf("%q: the connection stays open: %v", body, err)
		}
	}
}

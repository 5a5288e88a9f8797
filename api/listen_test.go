package api_test

import (
	"context"
	"io"
	"net"
	"net/http"
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

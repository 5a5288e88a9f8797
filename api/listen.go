package api

import (
	"context"
	"errors"
	"net"
	"net/http"
	"time"
)

// StopTime is how long requests under way may take once the server is told to
// stop.
const StopTime = 15 * time.Second

type stoppingKey struct{}

// stopping is closed when the server is told to stop: what lasts until something
// happens ends then, and the client comes again. Nil where nobody tells.
func stopping(ctx context.Context) <-chan struct{} {
	told, _ := ctx.Value(stoppingKey{}).(<-chan struct{})
	return told
}

// Serve answers on a listener until ctx is done, then lets requests under way
// finish. The time limits keep slow clients from holding connections.
func Serve(ctx context.Context, l net.Listener, h http.Handler) error {
	server := &http.Server{
		Handler:           h,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       bodyTime + 5*time.Second,
		WriteTimeout:      2 * time.Minute,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    32 << 10,
		BaseContext: func(net.Listener) context.Context {
			return context.WithValue(context.Background(), stoppingKey{}, ctx.Done())
		},
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	stop, cancel := context.WithTimeout(context.WithoutCancel(ctx), StopTime)
	defer cancel()
	err := server.Shutdown(stop)
	if errors.Is(err, context.DeadlineExceeded) {
		return server.Close()
	}
	return err
}

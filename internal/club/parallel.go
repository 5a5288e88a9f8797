package club

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// inParallel runs fn for 0…n-1 on all processors. A panic of fn is one of its
// caller: only there does it end one request or job instead of the server.
func inParallel(n int, fn func(int)) {
	workers := min(n, runtime.GOMAXPROCS(0))
	if workers <= 1 {
		for i := range n {
			fn(i)
		}
		return
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	crashes := make([]error, workers)
	for w := range workers {
		wg.Go(func() {
			crashes[w] = caught(func() error {
				for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
					fn(i)
				}
				return nil
			})
		})
	}
	wg.Wait()
	for _, err := range crashes {
		if err != nil {
			panic(err)
		}
	}
}

// caught runs fn and gives a panic as an error that tells where it happened.
func caught(fn func() error) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = fmt.Errorf("panic: %v\n%s", v, debug.Stack())
		}
	}()
	return fn()
}

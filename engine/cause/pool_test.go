package cause

import (
	"sync"
	"testing"
)

// Works lent to many goroutines give each the answer to its own question.
func TestBorrow(t *testing.T) {
	g := mustCompile(t, Spec{Background: []float64{0.2}})
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			for range 100 {
				w := g.Borrow()
				odds := 0.25 * float64(i)
				if err := w.Infer(&Evidence{Ratio: []float64{float64(i)}}); err != nil {
					t.Error(err)
				}
				near(t, "P", w.InContext()[0], odds/(1+odds), 1e-6)
				g.Return(w)
			}
		})
	}
	all.Wait()
}

package rubric

import (
	"sync"
	"testing"
)

// TestMemo: the answer is that of the work, whatever was asked before, in all
// goroutines at once; what was just asked is not worked out again.
func TestMemo(t *testing.T) {
	var m memo
	double := func(x float64) (float64, bool) { return 2 * x, x > 5 }
	var group sync.WaitGroup
	for range 4 {
		group.Go(func() {
			for i := range 1000 {
				x := float64(i % 200)
				v, seen := m.of([3]float64{x, 1, 2}, func() (float64, bool) { return double(x) })
				if v != 2*x || seen != (x > 5) {
					t.Errorf("of %v: %v, seen %t", x, v, seen)
				}
			}
		})
	}
	group.Wait()
	worked := 0
	for range 10 {
		m.of([3]float64{7, 8, 9}, func() (float64, bool) { worked++; return 0, true })
	}
	if worked != 1 {
		t.Errorf("worked out %d times", worked)
	}
}

// TestMemoSpreads: arguments that differ by little do not share a slot.
func TestMemoSpreads(t *testing.T) {
	used := map[int]bool{}
	for i := range 64 {
		used[hash([3]float64{20.5, 34.4, 1.4 + float64(i)/100})] = true
	}
	if len(used) < 32 {
		t.Errorf("64 statures in %d slots", len(used))
	}
}

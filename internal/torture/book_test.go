package torture_test

import (
	"fmt"
	"sync"
	"testing"
)

// A book is what the server has acknowledged, and what went wrong on the way.
type book struct {
	mu           sync.Mutex
	observations map[string]kept           // by session, of which each has one
	throws       map[string]kept           // by note, of which each entry has one
	reasons      map[string]map[string]int // by rubric: the reason of each version, and its number
	jobs         map[string]bool           // ids
	erased       map[string]bool           // players
	count        map[string]int            // what happened, for the report
	faults       []string                  // answers that may not be
}

// kept is one acknowledged row.
type kept struct{ id, assessment, player string }

func newBook() *book {
	return &book{observations: map[string]kept{}, throws: map[string]kept{}, reasons: map[string]map[string]int{}, jobs: map[string]bool{}, erased: map[string]bool{}, count: map[string]int{}}
}

// note changes the book.
func (b *book) note(fn func()) {
	b.mu.Lock()
	defer b.mu.Unlock()
	fn()
}

func (b *book) add(what string, n int) { b.note(func() { b.count[what] += n }) }

// fault keeps what must not have happened.
func (b *book) fault(format string, args ...any) {
	b.note(func() { b.faults = append(b.faults, fmt.Sprintf(format, args...)) })
}

// observation notes an acknowledged observation. The same one acknowledged
// again must be the same one.
func (b *book) observation(session string, k kept) {
	b.note(func() {
		b.count["acknowledged"]++
		if was, again := b.observations[session]; again && was.id != k.id {
			b.faults = append(b.faults, fmt.Sprintf("doubled: session %s is observation %s and %s", session, was.id, k.id))
		}
		b.observations[session] = k
	})
}

func (b *book) version(rubric, reason string, n int) {
	b.note(func() {
		b.count["acknowledged"]++
		if b.reasons[rubric] == nil {
			b.reasons[rubric] = map[string]int{}
		}
		b.reasons[rubric][reason] = n
	})
}

// expected leaves out what was erased since.
func (b *book) expected(rows map[string]kept) (out []kept) {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, k := range rows {
		if !b.erased[k.player] {
			out = append(out, k)
		}
	}
	return out
}

// report fails the test for every fault and prints the line of the table.
func (b *book) report(t testing.TB, what string) {
	t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for i, f := range b.faults {
		if i == 20 {
			t.Errorf("and %d more", len(b.faults)-i)
			break
		}
		t.Error(f)
	}
	t.Logf("%s: seed %d, %v, %d faults", what, *seed, b.count, len(b.faults))
}

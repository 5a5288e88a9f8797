package club

import (
	"io"
	"sync"
)

// What one transaction takes at most, and what is read ahead of it.
const (
	BatchEntries = 128
	batchBytes   = 1 << 20
)

// A queue hands entries from who reads them to who stores them. Whatever has
// been read when the last batch is done makes the next one: a slow sender is
// answered at once, a fast one in large transactions. Its memory is bounded.
type queue struct {
	mu      sync.Mutex
	changed sync.Cond
	entries []Entry
	bytes   int
	end     error // set when no more come: io.EOF or what went wrong
	left    bool  // nobody takes any more
}

func newQueue() *queue {
	q := &queue{}
	q.changed.L = &q.mu
	return q
}

// fill reads a source to its end.
func (q *queue) fill(src Source) {
	for {
		var e Entry
		err := caught(func() (err error) { e, err = src.Next(); return })
		if !q.put(e, err) || err != nil {
			return
		}
	}
}

// put waits for room; false when nobody takes any more.
func (q *queue) put(e Entry, err error) bool {
	q.mu.Lock()
	defer q.mu.Unlock()
	for !q.left && (len(q.entries) >= BatchEntries || q.bytes >= batchBytes) {
		q.changed.Wait()
	}
	if err != nil {
		q.end = err
	} else {
		q.entries, q.bytes = append(q.entries, e), q.bytes+len(e.Doc)
	}
	q.changed.Broadcast()
	return !q.left
}

// take waits for something and takes all there is; none with an error at the
// end, or with io.EOF once nobody wants any more.
func (q *queue) take() ([]Entry, error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	for len(q.entries) == 0 && q.end == nil && !q.left {
		q.changed.Wait()
	}
	if len(q.entries) == 0 || q.left {
		if q.end == nil {
			return nil, io.EOF
		}
		return nil, q.end
	}
	taken := q.entries
	q.entries, q.bytes = nil, 0
	q.changed.Broadcast()
	return taken, nil
}

// leave lets a reader that waits for room go.
func (q *queue) leave() {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.left = true
	q.changed.Broadcast()
}

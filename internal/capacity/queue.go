package main

import (
	"container/heap"
	"math/rand/v2"
)

// A clock runs events in the order of their times, in seconds; those at the same
// time in the order in which they were asked for.
type clock struct {
	now    float64
	asked  int
	events events
	chance *rand.Rand
}

func newClock(seed uint64) *clock { return &clock{chance: rand.New(rand.NewPCG(seed, 7))} }

type event struct {
	at    float64
	order int
	do    func()
}

type events []event

func (e events) Len() int { return len(e) }
func (e events) Less(i, j int) bool {
	return e[i].at < e[j].at || e[i].at == e[j].at && e[i].order < e[j].order
}
func (e events) Swap(i, j int) { e[i], e[j] = e[j], e[i] }

// Push and Pop are for container/heap.
func (e *events) Push(x any) { *e = append(*e, x.(event)) }

// Pop gives the last.
func (e *events) Pop() any {
	last := (*e)[len(*e)-1]
	*e = (*e)[:len(*e)-1]
	return last
}

// after does something so many seconds later.
func (c *clock) after(seconds float64, do func()) {
	c.asked++
	heap.Push(&c.events, event{c.now + seconds, c.asked, do})
}

// run lets time pass until nothing is left to do, or the end is reached.
func (c *clock) run(end float64) {
	for len(c.events) > 0 && c.events[0].at <= end {
		e := heap.Pop(&c.events).(event)
		c.now = e.at
		e.do()
	}
	c.now = end
}

// poisson has something come about so many times a second until the end.
func (c *clock) poisson(rate, end float64, do func()) {
	var next func()
	next = func() {
		do()
		if gap := c.chance.ExpFloat64() / rate; c.now+gap < end {
			c.after(gap, next)
		}
	}
	if rate > 0 {
		c.after(c.chance.ExpFloat64()/rate, next)
	}
}

// A station has places, such as processors or a lock's one; who finds none free
// waits in order of coming.
type station struct {
	*clock
	places  int
	busy    int
	waiting []func()

	since        float64 // of the last change
	inside       float64 // seconds × those in it, waiting or not
	work         float64 // seconds × busy places
	came         int
	waitedFor    float64 // seconds, of all
	stayed, left float64 // seconds of those who left, and their number
}

func (c *clock) station(places int) *station { return &station{clock: c, places: places} }

func (s *station) note() {
	d := s.now - s.since
	s.inside, s.work, s.since = s.inside+d*float64(s.busy+len(s.waiting)), s.work+d*float64(s.busy), s.now
}

// hold takes a place as soon as there is one; do gets what gives it back.
func (s *station) hold(do func(release func())) {
	s.note()
	s.came++
	came := s.now
	enter := func() {
		s.waitedFor += s.now - came
		do(func() { s.release(came) })
	}
	if s.busy < s.places {
		s.busy++
		enter()
		return
	}
	s.waiting = append(s.waiting, enter)
}

func (s *station) release(came float64) {
	s.note()
	s.left++
	s.stayed += s.now - came
	if len(s.waiting) == 0 {
		s.busy--
		return
	}
	next := s.waiting[0]
	s.waiting = s.waiting[1:]
	next() // takes the place over
}

// serve holds a place for so many seconds.
func (s *station) serve(seconds float64, then func()) {
	if seconds == 0 {
		then()
		return
	}
	s.hold(func(release func()) {
		s.after(seconds, func() {
			release()
			then()
		})
	})
}

// use is the share of the places in use so far.
func (s *station) use() float64 {
	s.note()
	return s.work / s.now / float64(s.places)
}

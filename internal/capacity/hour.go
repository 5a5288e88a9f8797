package main

import (
	"math"
	"slices"
)

// What the busiest hour is made of. These are assumptions, and printed as such.
const (
	clubs   = 100
	players = 50_000

	seenOnSaturday = 0.6  // of the players, once each
	inTheHour      = 0.3  // of a Saturday's assessments
	inFiles        = 0.2  // of them, the rest by phone
	linesInFile    = 200  // a club's, after a session
	fromDeadZones  = 0.25 // of what phones send, held back and then sent at once
	heldBack       = 12   // by one phone
	lists, reports = 3, 2 // pages read for one assessment
	seasonLines    = 10_000
)

// What a server takes on at once (api/turns.go), and how many lines of a file it
// stores in one transaction (internal/club/queue.go).
const (
	mostInWork, mostWaiting = 32, 64
	linesAtOnce             = 128
)

// A setup is machines: servers of so many processors each, and a database with
// so many; embedded has none of its own, and one writer.
type setup struct {
	name              string
	servers, cores    int
	databaseCores     int
	embedded, readers bool // readers: pages are read from a replica with as many processors
}

// An outcome is how an hour went.
type outcome struct {
	factor                 float64
	offered                float64 // requests a second, a file being one
	server, database, turn float64 // use; turn is that of the busiest club's, or the one writer's
	replica                float64 // use; 0 without one
	p50, p95, p99, page    float64 // milliseconds: a phone's submission, the 95th percentile of a page
	refused                float64 // share of what phones and pages asked
	seasonTook             float64 // seconds; +Inf where it did not end
}

// A hall is one hour under way.
type hall struct {
	*clock
	c                      costs
	setup                  setup
	cpu, database, replica *station
	turns                  []*station // one a club; the embedded database has one in all
	inside, refused, asked int
	phones, pages          []float64 // milliseconds
	warm, end, seasonTook  float64
}

// play has a stretch of the busiest hour come to pass, factor times as much of it.
// Half a minute goes by before anything is counted.
func play(c costs, s setup, factor, seconds float64, seed uint64) outcome {
	h := &hall{clock: newClock(seed), c: c, setup: s, warm: 30, end: 30 + seconds, seasonTook: math.Inf(1)}
	h.cpu = h.station(s.servers * s.cores)
	h.database, h.replica = h.station(max(s.databaseCores, 1)), h.station(max(s.databaseCores, 1))
	for range clubs {
		h.turns = append(h.turns, h.station(1))
		if s.embedded {
			break
		}
	}
	assessments := players * seenOnSaturday * inTheHour / 3600 * factor // a second
	phones := assessments * (1 - inFiles)
	h.poisson(phones*(1-fromDeadZones), h.end, func() { h.phone(h.club()) })
	h.poisson(phones*fromDeadZones/heldBack, h.end, func() {
		from := h.club()
		for range heldBack {
			h.phone(from)
		}
	})
	h.poisson(assessments*inFiles/linesInFile, h.end, func() { h.file(h.club(), linesInFile, func() {}) })
	h.poisson(assessments*lists, h.end, func() { h.page(h.c.List) })
	h.poisson(assessments*reports, h.end, func() { h.page(h.c.Report) })
	h.after(h.warm, func() { h.file(0, seasonLines, func() { h.seasonTook = h.now - h.warm }) })
	h.run(h.end)
	return h.outcome(factor, assessments*(1-inFiles+inFiles/linesInFile+lists+reports))
}

func (h *hall) club() int { return h.chance.IntN(clubs) }

// admitted tells whether the servers take one more request on.
func (h *hall) admitted() bool {
	counts := h.now >= h.warm
	if counts {
		h.asked++
	}
	if h.inside >= h.setup.servers*(mostInWork+mostWaiting) {
		if counts {
			h.refused++
		}
		return false
	}
	h.inside++
	return true
}

// phone is one observation sent.
func (h *hall) phone(club int) {
	if !h.admitted() {
		return
	}
	came := h.now
	h.write(club, h.c.Submit, h.chance.ExpFloat64(), func() {
		h.inside--
		if came >= h.warm {
			h.phones = append(h.phones, (h.now-came)*1000)
		}
	})
}

// file stores lines, a batch after the other.
func (h *hall) file(club, lines int, done func()) {
	n := min(lines, linesAtOnce)
	h.write(club, h.c.Line.times(float64(n)), 1, func() {
		if lines > n {
			h.file(club, lines-n, done)
			return
		}
		done()
	})
}

// write is a transaction: a club's writes take turns, and a turn lasts until the
// commit. All of the work is taken to fall into the turn, which is more than does.
func (h *hall) write(club int, c cost, luck float64, done func()) {
	if h.setup.embedded {
		club = 0
	}
	h.turns[club].hold(func(release func()) {
		h.cpu.serve(c.Server*luck/1000, func() {
			h.database.serve(c.Database*luck/1000, func() {
				h.after(c.Wait/1000, func() {
					release()
					done()
				})
			})
		})
	})
}

// page is something read.
func (h *hall) page(c cost) {
	if !h.admitted() {
		return
	}
	came, luck, from := h.now, h.chance.ExpFloat64(), h.database
	if h.setup.readers {
		from = h.replica
	}
	h.cpu.serve(c.Server*luck/1000, func() {
		from.serve(c.Database*luck/1000, func() {
			h.after(c.Wait/1000, func() {
				h.inside--
				if came >= h.warm {
					h.pages = append(h.pages, (h.now-came)*1000)
				}
			})
		})
	})
}

func (h *hall) outcome(factor, offered float64) outcome {
	o := outcome{factor: factor, offered: offered, server: h.cpu.use(), database: h.database.use(), replica: h.replica.use(), seasonTook: h.seasonTook}
	for _, t := range h.turns {
		o.turn = max(o.turn, t.use())
	}
	o.p50, o.p95, o.p99 = percentile(h.phones, 0.5), percentile(h.phones, 0.95), percentile(h.phones, 0.99)
	o.page = percentile(h.pages, 0.95)
	o.refused = float64(h.refused) / float64(max(h.asked, 1))
	return o
}

// percentile is the value that so much of the list lies at or below; it sorts it.
func percentile(list []float64, share float64) float64 {
	if len(list) == 0 {
		return math.NaN()
	}
	slices.Sort(list)
	return list[int(math.Ceil(share*float64(len(list))))-1]
}

package torture_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"net/http"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

var (
	spell  = flag.Duration("step", 300*time.Millisecond, "how long each rate of requests is offered")
	soak   = flag.Duration("soak", 300*time.Millisecond, "how long half of what the server can do is offered")
	tables = flag.String("tables", "", "folder for the tables of load and soak")
)

// Requests come as they do from outside, whether those before were answered or
// not. Beyond what it can do the server refuses with 429 or 503 and says when to
// come again; nothing else fails, and what was acknowledged is there. How fast it
// is, is told and not judged.
func TestLoad(t *testing.T) {
	for _, kind := range []string{"SQLite", "PostgreSQL"} {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			at, c := database(t, kind)
			s := newServer(t, at)
			s.start()
			l := &load{server: s, keys: s.keys("submit", 40+min(int(*spell/(25*time.Millisecond)), 400)), read: s.keys("read", 1)[0], chance: rand.New(rand.NewPCG(*seed, 3000))}
			l.one(rand.New(rand.NewPCG(*seed, 3001)), time.Now(), newOffer(0)) // there is something to read
			capacity := l.capacity(t, 24)
			var rows []*offer
			for _, factor := range []float64{0.5, 1, 2, 5} {
				o := l.offer(t, capacity*factor, *spell)
				o.factor = factor
				rows = append(rows, o)
			}
			writeTable(t, "load-"+kind, fmt.Sprintf("%s, seed %d; capacity, by 24 clients in turn: %.0f requests a second.", kind, *seed, capacity), loadTable(rows))
			db := connect(t, at, c)
			l.soak(t, db, c, kind, capacity/2)
			if stored := int64(count(t, db, `SELECT count(*) FROM observations`)); stored != l.stored.Load() {
				t.Errorf("%d observations were acknowledged, %d are stored", l.stored.Load(), stored)
			}
			if out, err := s.command("verify"); err != nil {
				t.Errorf("the log does not verify: %v %s", err, out)
			}
			t.Logf("load, %s: seed %d, %d observations acknowledged, none lost", kind, *seed, l.stored.Load())
		})
	}
}

// A load is clubs' requests at a rate of their own.
type load struct {
	*server
	keys   []string // enough that none meets its own limit
	read   string
	chance *rand.Rand // of arrivals
	stored atomic.Int64
	latest atomic.Value // the id of an assessment
}

// An offer is what came of requests offered at a rate.
type offer struct {
	factor, rate float64 // of capacity; requests a second
	took         time.Duration

	mu              sync.Mutex
	sent            int
	shed            map[int]int // by status
	good            []time.Duration
	probes, unready int // asked while it lasted; answered 503
}

func newOffer(rate float64) *offer { return &offer{rate: rate, shed: map[int]int{}} }

// loaded keeps connections for as many requests as may be under way, for less than
// the server does: what is sent just when it lets go of one would be cut off.
var loaded = &http.Client{Timeout: 2 * time.Minute, Transport: &http.Transport{MaxIdleConnsPerHost: 4000, IdleConnTimeout: 30 * time.Second}}

// capacity is how many requests a second so many clients get answered who wait
// for each answer.
func (l *load) capacity(t *testing.T, clients int) float64 {
	o, start := newOffer(0), time.Now()
	var all sync.WaitGroup
	for i := range clients {
		chance := rand.New(rand.NewPCG(*seed, uint64(3100+i)))
		all.Go(func() {
			for time.Since(start) < *spell {
				l.one(chance, time.Now(), o)
			}
		})
	}
	all.Wait()
	if len(o.good) == 0 {
		t.Fatal("nothing was answered")
	}
	return float64(len(o.good)) / time.Since(start).Seconds()
}

// offer sends requests at a rate, as they come by chance (exponential waits), and
// waits for all answers. Waiting counts from when a request was due.
func (l *load) offer(t *testing.T, rate float64, long time.Duration) *offer {
	o, start := newOffer(rate), time.Now()
	var all sync.WaitGroup
	ended := make(chan struct{})
	all.Go(func() { l.probe(t, ended, o) })
	for due := start; due.Sub(start) < long; due = due.Add(time.Duration(l.chance.ExpFloat64() / rate * float64(time.Second))) {
		time.Sleep(time.Until(due))
		chance := rand.New(rand.NewPCG(*seed, l.chance.Uint64()))
		all.Go(func() { l.one(chance, due, o) })
	}
	close(ended)
	all.Wait()
	o.took = time.Since(start)
	return o
}

// probe asks for health and readiness, which are never refused for load. That the
// database does not answer within readiness' three seconds is told, not judged.
func (l *load) probe(t *testing.T, ended chan struct{}, o *offer) {
	for {
		for _, path := range []string{"/healthz", "/readyz"} {
			if a, err := l.send(request{method: "GET", path: path}); err != nil || a.status != 200 && (a.status != 503 || path == "/healthz") {
				t.Errorf("under load %s is answered %d, %v: %.200s", path, a.status, err, a.body)
			} else if a.status != 200 {
				o.unready++
			}
		}
		o.probes++
		select {
		case <-ended:
			return
		case <-time.After(100 * time.Millisecond):
		}
	}
}

// one is one request: an observation, a list, an assessment or a report.
func (l *load) one(chance *rand.Rand, due time.Time, o *offer) {
	r := request{method: "GET", key: l.keys[chance.IntN(len(l.keys))]}
	n := chance.IntN(10)
	id, _ := l.latest.Load().(string)
	switch {
	case id == "" || n < 6:
		r.method, r.path = "POST", "/v1/observations"
		r.body, _ = (&driver{chance: chance}).document(fmt.Sprintf("S-%04d", chance.IntN(5000)))
	case n < 8:
		r.path = fmt.Sprintf("/v1/assessments?limit=5&player=S-%04d", chance.IntN(5000))
	case n < 9:
		r.path = "/v1/assessments/" + id
	default:
		r.path = "/v1/assessments/" + id + "/report"
	}
	a, err := l.sendBy(loaded, r)
	o.note(l, r, a, err, time.Since(due))
}

// note sorts an answer: done, refused for later, or a fault.
func (o *offer) note(l *load, r request, a answer, err error, took time.Duration) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.sent++
	switch {
	case err == nil && a.status == 200:
		o.good = append(o.good, took)
		if r.method == "POST" {
			var of struct{ Lines []line }
			if json.Unmarshal(a.body, &of) != nil || len(of.Lines) != 1 || of.Lines[0].Status != "stored" {
				l.t.Errorf("an observation is answered %.300s", a.body)
				return
			}
			l.stored.Add(1)
			l.latest.Store(of.Lines[0].Assessment)
		}
	case err == nil && (a.status == 429 || a.status == 503) && a.header.Get("Retry-After") != "":
		o.shed[a.status]++
	default:
		l.t.Errorf("%s %s is answered %d, %v: %.300s", r.method, r.path, a.status, err, a.body)
	}
}

// at is a percentile of the waits for good answers (nearest rank).
func (o *offer) at(percent int) time.Duration {
	if len(o.good) == 0 {
		return 0
	}
	slices.Sort(o.good)
	return o.good[max((len(o.good)*percent+99)/100-1, 0)]
}

// goodput is good answers a second, until the last one.
func (o *offer) goodput() float64 { return float64(len(o.good)) / o.took.Seconds() }

func loadTable(rows []*offer) string {
	var b strings.Builder
	b.WriteString("| offered, × capacity | offered, 1/s | sent | good, 1/s | 429 | 503 | other | p50 | p95 | p99 | probes | not ready |\n| ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |\n")
	for _, o := range rows {
		fmt.Fprintf(&b, "| %g | %.0f | %d | %.0f | %d | %d | %d | %s | %s | %s | %d | %d |\n", o.factor, o.rate, o.sent, o.goodput(), o.shed[429], o.shed[503], o.sent-len(o.good)-o.shed[429]-o.shed[503],
			ms(o.at(50)), ms(o.at(95)), ms(o.at(99)), o.probes, o.unready)
	}
	return b.String()
}

func ms(d time.Duration) string { return fmt.Sprintf("%.1f ms", float64(d.Microseconds())/1000) }

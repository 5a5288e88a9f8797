package torture_test

import (
	"bufio"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

// A driver is one client that does what clubs do, until its server is gone.
// What it has no answer to it sends again.
type driver struct {
	s      *server
	b      *book
	key    string
	chance *rand.Rand
	again  []step // sent, not answered
}

var serial atomic.Int64 // tells everything that is made apart

// A step is a request and what its answer means. It is done when taken says so.
type step struct {
	request
	taken func(answer) bool
}

// newDrivers makes n drivers of a server, each with a key of its own.
func newDrivers(s *server, b *book, n int) (out []*driver) {
	for i, key := range s.keys("admin", n) {
		out = append(out, &driver{s: s, b: b, key: key, chance: rand.New(rand.NewPCG(*seed, uint64(i)))})
	}
	return out
}

// drive lets all drivers work until stop is closed, or their server is gone.
func drive(drivers []*driver, stop <-chan struct{}) {
	var all sync.WaitGroup
	for _, d := range drivers {
		all.Go(func() { d.work(stop) })
	}
	all.Wait()
}

func (d *driver) work(stop <-chan struct{}) {
	if d.resend() != nil {
		return
	}
	for {
		select {
		case <-stop:
			return
		default:
		}
		var err error
		switch n := d.chance.IntN(1000); {
		case n < 450:
			err = d.observe()
		case n < 600:
			err = d.bulk()
		case n < 800:
			err = d.enterThrows()
		case n < 870:
			err = d.editLimits()
		case n < 900:
			err = d.publish()
		case n < 995:
			err = d.erase()
		default:
			err = d.reassess()
		}
		if err != nil {
			return
		}
	}
}

// resend sends again what had no answer, in order; it stops at the first that
// has none again.
func (d *driver) resend() error {
	for len(d.again) > 0 {
		st := d.again[0]
		d.b.add("sent again", 1)
		done, err := d.attempt(st)
		if err != nil {
			return err
		}
		d.again = d.again[1:]
		if !done {
			d.again = append(d.again, st)
			return nil
		}
	}
	return nil
}

// do sends a step for the first time.
func (d *driver) do(st step) error {
	st.key = d.key
	d.b.add("tried", 1)
	done, err := d.attempt(st)
	if !done {
		d.again = append(d.again, st)
	}
	return err
}

// attempt sends a step. A server that cannot, says so with 503 and when to come
// again; every other failure of its own is a fault.
func (d *driver) attempt(st step) (done bool, err error) {
	a, err := d.s.send(st.request)
	if err != nil {
		d.b.add("cut off", 1)
		if a.status == 200 {
			st.taken(a) // lines that came through are acknowledged
		}
		return false, err
	}
	if a.status == 200 && lateRefusal.Match(a.body) {
		d.b.add("503 in the middle", 1)
		st.taken(a)
		return false, nil
	}
	if d.refused(st.request, a.status, a.header, a.body) {
		time.Sleep(20 * time.Millisecond)
		return false, nil
	}
	if st.taken(a) {
		return true, nil
	}
	d.b.fault("%s %s is answered %d: %.300s", st.method, st.path, a.status, a.body)
	return true, nil
}

// lateRefusal is the last line of a batch whose rest could not be stored.
var lateRefusal = regexp.MustCompile(`(?m)^\{"problem":\{"type":"/problems/unavailable".*\}\s*\z`)

// refused reports whether to come again later.
func (d *driver) refused(r request, status int, h http.Header, body []byte) bool {
	later := status == http.StatusServiceUnavailable || status == http.StatusTooManyRequests || status == http.StatusConflict && strings.Contains(string(body), "/problems/in-flight")
	if later {
		d.b.add(strconv.Itoa(status), 1)
		if h.Get("Retry-After") == "" {
			d.b.fault("%s %s is answered %d without Retry-After: %.300s", r.method, r.path, status, body)
		}
	}
	return later
}

// document is an observation of its own session.
func (d *driver) document(player string) (doc, session string) {
	session = "s-" + strconv.FormatInt(serial.Add(1), 10)
	var reps []string
	for i := range 1 + d.chance.IntN(3) {
		reps = append(reps, fmt.Sprintf(`{"rep": %d, "measures": {"stride_off_line": %d, "change_time": 0.%d, "hand_protected": true, "landing_time": 0.8}}`, i+1, d.chance.IntN(25), 30+d.chance.IntN(30)))
	}
	return fmt.Sprintf(`{"rubric": "throw-to-second", "player": {"ref": %q, "age": %d, "stature_cm": 160}, "on": "2026-05-%02d", "session": %q, "reps": [%s]}`,
		player, 13+d.chance.IntN(2), 1+d.chance.IntN(28), session, strings.Join(reps, ", ")), session
}

// lasting is one of the players who are never erased.
func (d *driver) lasting() string { return fmt.Sprintf("L-%03d", d.chance.IntN(60)) }

// A line is an answer to one line of a batch.
type line struct {
	Line                            int
	Status, Observation, Assessment string
	ID                              string
	Done                            *struct{ Stored, Same, Corrected, Refused int }
	Problem                         json.RawMessage
}

func (d *driver) observe() error {
	player := d.lasting()
	doc, session := d.document(player)
	return d.do(step{request{method: "POST", path: "/v1/observations", body: doc, header: map[string]string{"Idempotency-Key": session}}, func(a answer) bool {
		var of struct{ Lines []line }
		if a.status != 200 || json.Unmarshal(a.body, &of) != nil || len(of.Lines) != 1 || of.Lines[0].Observation == "" {
			return false
		}
		d.b.observation(session, kept{of.Lines[0].Observation, of.Lines[0].Assessment, player})
		return true
	}})
}

// bulk sends a batch as NDJSON; each line that is answered is acknowledged,
// whatever becomes of the rest. A batch cut off is sent again as a whole.
func (d *driver) bulk() error {
	var docs, sessions, players []string
	for range 10 + d.chance.IntN(40) {
		player := d.lasting()
		doc, session := d.document(player)
		docs, sessions, players = append(docs, doc), append(sessions, session), append(players, player)
	}
	return d.do(step{request{method: "POST", path: "/v1/observations", body: strings.Join(docs, "\n"), header: map[string]string{"Content-Type": "application/x-ndjson"}}, func(a answer) bool {
		return d.lines(a, sessions, players) && a.status == 200
	}})
}

// lines notes the answered lines of a batch; false unless all are there.
func (d *driver) lines(a answer, sessions, players []string) bool {
	text := bufio.NewScanner(strings.NewReader(string(a.body)))
	text.Buffer(nil, 1<<20)
	for text.Scan() {
		var l line
		if json.Unmarshal(text.Bytes(), &l) != nil {
			return false
		}
		if l.Done != nil {
			return l.Done.Stored+l.Done.Same+l.Done.Corrected == len(sessions)
		}
		if l.Line < 1 || l.Line > len(sessions) || l.Observation == "" {
			return false
		}
		d.b.observation(sessions[l.Line-1], kept{l.Observation, l.Assessment, players[l.Line-1]})
	}
	return false
}

func (d *driver) enterThrows() error {
	player := d.lasting()
	var entries, notes []string
	for range 1 + d.chance.IntN(4) {
		note := "n-" + strconv.FormatInt(serial.Add(1), 10)
		notes = append(notes, note)
		entries = append(entries, fmt.Sprintf(`{"date": "2026-05-%02d", "kind": "bullpen", "count": %d, "note": %q}`, 1+d.chance.IntN(28), d.chance.IntN(40), note))
	}
	return d.do(step{request{method: "POST", path: "/v1/players/" + player + "/throws", body: "[" + strings.Join(entries, ",") + "]", header: map[string]string{"Idempotency-Key": notes[0]}}, func(a answer) bool {
		var of struct{ Lines []line }
		if a.status != 200 || json.Unmarshal(a.body, &of) != nil || len(of.Lines) != len(notes) {
			return false
		}
		d.b.note(func() {
			for i, l := range of.Lines {
				d.b.count["acknowledged"]++
				d.b.throws[notes[i]] = kept{id: l.ID, player: player}
			}
		})
		return true
	}})
}

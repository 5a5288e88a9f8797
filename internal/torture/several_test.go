package torture_test

import (
	"bufio"
	"encoding/json"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"
	"time"
)

// Two servers share a PostgreSQL. One after the other is killed under load; what
// it left is done by the other, and what it had no time to answer is answered by
// the other. The same import sent to both at once is stored once.
func TestSeveralServers(t *testing.T) {
	t.Parallel()
	at, c := database(t, "PostgreSQL")
	one, two, b := newServer(t, at), newServer(t, at), newBook()
	one.start()
	two.start()
	importTwice(t, one, two, b)
	home := map[*server][]*driver{one: newDrivers(one, b, 3), two: newDrivers(two, b, 3)}
	drivers := append(home[one], home[two]...)
	chance := rand.New(rand.NewPCG(*seed, 4000))
	for range *rounds {
		gone, left := one, two
		if chance.IntN(2) == 0 {
			gone, left = two, one
		}
		stop, stopped := make(chan struct{}), make(chan struct{})
		go func() {
			defer close(stopped)
			share(drivers, stop)
		}()
		time.Sleep(time.Duration(50+chance.IntN(800)) * time.Millisecond)
		gone.kill()
		time.Sleep(100 * time.Millisecond)
		close(stop)
		<-stopped
		for _, d := range home[gone] {
			d.s = left
			if err := d.resend(); err != nil {
				t.Fatal(err)
			}
			d.s = gone
		}
		gone.start()
		b.add("rounds", 1)
	}
	settle(t, b, drivers)
	db := connect(t, at, c)
	rest(t, b, db)
	check(t, one, b, db, nil)
	b.report(t, "several servers")
}

// share lets all drivers do what can be sent again to another server at once:
// nothing with an Idempotency-Key, whose mark holds for a minute.
func share(drivers []*driver, stop <-chan struct{}) {
	var all sync.WaitGroup
	for _, d := range drivers {
		all.Go(func() {
			for err := d.resend(); err == nil; {
				select {
				case <-stop:
					return
				default:
				}
				switch n := d.chance.IntN(100); {
				case n < 70:
					err = d.bulk()
				case n < 98:
					err = d.erase()
				default:
					err = d.reassess()
				}
			}
		})
	}
	all.Wait()
}

// importTwice sends the same lines to both at once and holds their answers
// against each other.
func importTwice(t *testing.T, one, two *server, b *book) {
	t.Helper()
	d := newDrivers(one, b, 1)[0]
	var docs, sessions, players []string
	for range 300 {
		player := d.lasting()
		doc, session := d.document(player)
		docs, sessions, players = append(docs, doc), append(sessions, session), append(players, player)
	}
	r := request{method: "POST", path: "/v1/observations", key: d.key, body: strings.Join(docs, "\n"), header: map[string]string{"Content-Type": "application/x-ndjson"}}
	var answers [2][]line
	var all sync.WaitGroup
	for i, s := range []*server{one, two} {
		all.Go(func() {
			a, err := s.send(r)
			if err != nil || a.status != 200 {
				b.fault("the import is answered %d, %v: %.300s", a.status, err, a.body)
			}
			text := bufio.NewScanner(strings.NewReader(string(a.body)))
			for text.Scan() {
				var l line
				if err := json.Unmarshal(text.Bytes(), &l); err != nil {
					b.fault("a line is answered %.300s: %v", text.Bytes(), err)
				}
				answers[i] = append(answers[i], l)
			}
		})
	}
	all.Wait()
	if len(answers[0]) != len(docs)+1 || len(answers[1]) != len(docs)+1 {
		b.report(t, "the same import to both")
		t.Fatalf("%d lines are answered by %d and %d", len(docs), len(answers[0]), len(answers[1]))
	}
	stored := 0
	for i := range docs {
		x, y := answers[0][i], answers[1][i]
		if x.Observation != y.Observation || x.Assessment != y.Assessment {
			b.fault("line %d is answered %+v and %+v", i+1, x, y)
		}
		for _, l := range []line{x, y} {
			if l.Status == "stored" {
				stored++
			}
		}
		b.observation(sessions[i], kept{x.Observation, x.Assessment, players[i]})
	}
	if stored != len(docs) {
		b.fault("of %d lines %d are stored", len(docs), stored)
	}
}

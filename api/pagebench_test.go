package api_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"syscall"
	"testing"
	"time"
)

// The server's time for the board of sixty bibs, whom six evaluators graded at
// six items, and for the page of one of them.
//
//	go test ./api -run '^$' -bench Board -benchtime 20x -count 6
func BenchmarkBoard(b *testing.B) {
	s := embeddedServer(b)
	id := s.largeTryout(b)
	for name, path := range map[string]string{"board": "/tryouts/" + id, "bib": "/tryouts/" + id + "/bibs/107"} {
		b.Run(name, func(b *testing.B) {
			cookies := s.signIn("edit")
			b.ReportAllocs()
			s.timed(b, path, cookies)
		})
	}
}

// timed asks for a page again and again, and tells what that takes.
func (s *clubServer) timed(b *testing.B, path string, cookies []*http.Cookie) {
	b.Helper()
	start := cpuTime(b)
	for b.Loop() {
		r := httptest.NewRequest("GET", path, nil)
		for _, c := range cookies {
			r.AddCookie(c)
		}
		w := httptest.NewRecorder()
		if s.ServeHTTP(w, r); w.Code != http.StatusOK {
			b.Fatal(w.Code, w.Body)
		}
	}
	b.ReportMetric(float64((cpuTime(b)-start).Microseconds())/1000/float64(b.N), "cpu-ms/op")
}

// cpuTime is what this process has computed so far, on all cores: on a machine
// that does other work too it says more than the clock.
func cpuTime(t testing.TB) time.Duration {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// largeTryout is a tryout of sixty players, each seen by four of six evaluators
// at each of six items, with six recusals and twenty decisions; it gives its id.
func (s *clubServer) largeTryout(t testing.TB) string {
	t.Helper()
	settings := object{"name": "Large", "on": "2026-05-09", "looks": 5, "best": 12}
	var panel, items, roster, grades []any
	for n := range 6 {
		panel = append(panel, fmt.Sprint("E", n+1))
		items = append(items, object{"item": fmt.Sprint("item-", n), "title": fmt.Sprint("Item ", n), "kind": "grade"})
	}
	for player := range 60 {
		bib := fmt.Sprint(101 + player)
		roster = append(roster, object{"bib": bib, "player": fmt.Sprint("S-", player)})
		for item := range 6 {
			for evaluator := range 6 {
				if (player+evaluator)%6 < 4 {
					grades = append(grades, object{"bib": bib, "evaluator": panel[evaluator], "item": fmt.Sprint("item-", item), "grade": 1 + (player*7+item*3+evaluator*(player%5))%5})
				}
			}
		}
	}
	settings["panel"], settings["own_items"] = panel, items
	id := strings.Trim(at(t, s.must(t, "edit", "POST", "/v1/tryouts", asJSON(settings)), "/id"), `"`)
	path := "/v1/tryouts/" + id
	s.must(t, "edit", "POST", path+"/roster", asJSON(roster))
	s.must(t, "submit", "POST", path+"/grades", asJSON(object{"grades": grades}))
	for n := range 6 {
		s.must(t, "edit", "PUT", fmt.Sprintf("%s/recusals/E%d/%d", path, n+1, 101+7*n), `{"why": "family"}`)
	}
	for n := range 20 {
		s.must(t, "edit", "POST", path+"/decisions", asJSON(object{"bib": fmt.Sprint(101 + 3*n), "kind": "decision", "chosen": n%2 == 0, "why": "as graded"}))
	}
	return id
}

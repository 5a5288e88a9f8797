package torture_test

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"
)

// badLines are lines that nothing can be made of, each in its own way; %d is the
// line's number.
var badLines = []string{
	`nonsense %d`,
	`{"rubric": "throw-to-second", "player": {"ref": "P-%d"}`,
	`{"rubric": "throw-to-secnd", "player": {"ref": "P-%d", "age": 14}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"stride_off_line": 9}}]}`,
	`{"rubric": "throw-to-second", "player": {"ref": "P-%d", "age": 14}, "on": "9 May", "reps": [{"rep": 1, "measures": {"stride_off_line": 9}}]}`,
}

// Of many lines, a hundred thousand in the long form, a hundred are bad: those are
// refused by their number, the others kept once, and nothing is doubled when all
// come again.
func TestHundredBadLines(t *testing.T) {
	every := min(5**rounds, 1000)
	lines := 100 * every
	for _, kind := range []string{"SQLite", "PostgreSQL"} {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			at, c := database(t, kind)
			s := newServer(t, at)
			s.start()
			db := connect(t, at, c)
			done := func(stored, same int) string {
				return fmt.Sprintf(`{"stored":%d,"same":%d,"corrected":0,"refused":%d}`, stored, same, lines/every)
			}
			for _, want := range []string{done(lines-lines/every, 0), done(0, lines-lines/every)} {
				start := time.Now()
				if got := s.importLines(t, lines, every); got != want {
					t.Errorf("found %s, wanted %s", got, want)
				}
				t.Logf("%d lines in %s", lines, time.Since(start).Round(time.Second/10))
				for _, table := range []string{"observations", "assessments", "players"} {
					if n := count(t, db, "SELECT count(*) FROM "+table); n != lines-lines/every {
						t.Errorf("%d %s, wanted %d", n, table, lines-lines/every)
					}
				}
			}
		})
	}
}

// importLines sends lines, a bad one after every so many, holds each answer
// against its line and gives what the last says.
func (s *server) importLines(t testing.TB, lines, every int) (done string) {
	t.Helper()
	out, in := io.Pipe()
	go func() {
		w := bufio.NewWriter(in)
		for i := 1; i <= lines; i++ {
			if i%every == 0 {
				fmt.Fprintf(w, badLines[i/every%len(badLines)]+"\n", i)
				continue
			}
			fmt.Fprintf(w, `{"rubric": "throw-to-second", "player": {"ref": "P-%d", "age": 14, "stature_cm": 163}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"stride_off_line": %d}}]}`+"\n", i, i%25)
		}
		in.CloseWithError(w.Flush())
	}()
	req, err := http.NewRequestWithContext(t.Context(), "POST", s.base+"/v1/observations", out)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/x-ndjson")
	req.Header.Set("Authorization", "Bearer "+s.admin)
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	answers, n := bufio.NewScanner(res.Body), 0
	for answers.Scan() {
		var a struct {
			Line   int
			Status string
			Done   json.RawMessage
		}
		if err := json.Unmarshal(answers.Bytes(), &a); err != nil {
			t.Fatalf("%v: %.200s", err, answers.Text())
		}
		if a.Done != nil {
			done = string(a.Done)
			continue
		}
		n++
		if refused := a.Status == "refused"; a.Line != n || refused != (n%every == 0) {
			t.Fatalf("answer %d is %.300s", n, answers.Text())
		}
	}
	if err := answers.Err(); err != nil || n != lines {
		t.Fatalf("%d answers, %v", n, err)
	}
	return strings.TrimSpace(done)
}

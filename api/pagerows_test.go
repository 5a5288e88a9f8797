package api_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"net/url"
	"testing"
	"time"
)

var pageRows = flag.Int("rows", 1000, "how many assessments are stored while BenchmarkPage asks for pages")

// The server's time for the pages that read assessments, with many stored: forty
// a day, of two thousand players.
//
//	go test ./api -run '^$' -bench Page -rows 1000000 -benchtime 50x -timeout 2h
func BenchmarkPage(b *testing.B) {
	s := embeddedServer(b)
	day := s.manyStored(b, *pageRows)
	paths := map[string]string{"front": "/", "entry": "/entry?rubric=throw-to-second", "review": "/review?on=" + day, "review-none": "/review?on=2001-01-01",
		"report": "/v1/assessments/" + s.newest(b) + "/report", "player": "/v1/players/" + url.PathEscape("P-0007"), "limits": "/rubrics/throw-to-second/edit"}
	cookies := s.signIn("edit")
	for name, path := range paths {
		b.Run(fmt.Sprintf("%s/rows=%d", name, *pageRows), func(b *testing.B) {
			s.timed(b, path, cookies)
		})
	}
}

// manyStored submits assessments, the newest last, and gives the newest day.
func (s *clubServer) manyStored(b *testing.B, rows int) (day string) {
	b.Helper()
	const aDay, players, lines = 40, 2000, 2000
	newest := time.Date(2026, 5, 2, 0, 0, 0, 0, time.UTC)
	var body bytes.Buffer
	for n := range rows {
		day = newest.AddDate(0, 0, -((rows - 1 - n) / aDay % 5000)).Format(time.DateOnly)
		fmt.Fprintf(&body, `{"rubric": "throw-to-second", "player": {"ref": "P-%04d", "age": 14, "stature_cm": 163}, "on": %q, "session": "s%d", "reps": [{"rep": 1, "measures": {"hip_height_set": 0.42, "transfer_height": -0.1, "change_time": 0.41, "exchange_time": 1.1, "stride_off_line": 17}}]}`+"\n",
			n%players, day, n/aDay)
		if (n+1)%lines == 0 || n == rows-1 {
			s.must(b, "submit", "POST", "/v1/observations", body.String(), "Content-Type", "application/x-ndjson")
			body.Reset()
		}
	}
	return day
}

// newest is the id of an assessment that was stored last.
func (s *clubServer) newest(b *testing.B) string {
	b.Helper()
	var list struct{ Items []struct{ ID string } }
	if err := json.Unmarshal(s.must(b, "read", "GET", "/v1/assessments?limit=1", ""), &list); err != nil || len(list.Items) != 1 {
		b.Fatal("nothing is stored", err)
	}
	return list.Items[0].ID
}

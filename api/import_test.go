package api_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"rootcue/api"
	"rootcue/internal/club"
	"rootcue/internal/store"
)

// oneLine is a small document of one player.
func oneLine(n int) string {
	return fmt.Sprintf(`{"rubric": "throw-to-second", "player": {"ref": "P-%d", "age": 12}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"stride_off_line": 20}}]}`, n)
}

// zipped packs a text.
func zipped(t testing.TB, text string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	if _, err := io.WriteString(z, text); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// importOver sends a body over a real connection and reads the whole answer.
func importOver(t testing.TB, s *clubServer, body io.Reader, header ...string) (int, string) {
	t.Helper()
	web := httptest.NewServer(s.Server)
	defer web.Close()
	r, err := http.NewRequest("POST", web.URL+"/v1/observations", body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+s.secrets["submit"])
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	res, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res.StatusCode, string(text)
}

func TestPackedImports(t *testing.T) {
	var lines []string
	for n := range 300 {
		lines = append(lines, oneLine(n))
	}
	whole := zipped(t, strings.Join(lines, "\n"))
	bomb := zipped(t, oneLine(1)+"\n"+strings.Repeat("x", 64<<20)+"\n"+oneLine(2))
	for _, tt := range []struct {
		name, media string
		body        []byte
		status      int
		says        []string
	}{
		{"whole", "application/x-ndjson", whole, 200, []string{`{"done":{"stored":300,"same":0,"corrected":0,"refused":0}}`}},
		{"truncated", "application/x-ndjson", whole[:len(whole)/2], 200, []string{`{"line":1,"status":"stored"`, `{"problem":{"type":"/problems/not-json"`, "ended before"}},
		{"one long line packed small", "application/x-ndjson", bomb, 200, []string{`{"line":2,"status":"refused"`, "a line of 67108865 bytes", `{"done":{"stored":2,`}},
		{"too large as JSON", "application/json", zipped(t, `[`+strings.Repeat(" ", 17<<20)+`]`), 413, []string{"/problems/too-large"}},
		{"not gzip", "application/x-ndjson", []byte(oneLine(1)), 400, []string{"not gzip"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			status, text := importOver(t, embeddedServer(t), bytes.NewReader(tt.body), "Content-Type", tt.media, "Content-Encoding", "gzip")
			if status != tt.status {
				t.Errorf("status %d, wanted %d", status, tt.status)
			}
			for _, want := range tt.says {
				if !strings.Contains(text, want) {
					t.Errorf("the answer lacks %q:\n…%s", want, text[max(0, len(text)-600):])
				}
			}
		})
	}
}

// Of very many bad lines each is answered, and told what comes first; what more
// is wrong with it, of the first ones only. A body of a few kilobytes, packed,
// would else be answered with a gigabyte.
func TestManyBadLines(t *testing.T) {
	var doc strings.Builder
	doc.WriteString("{")
	for i := range 20 {
		fmt.Fprintf(&doc, `"k%d": 1, `, i)
	}
	doc.WriteString(`"z": 1}`)
	const lines = 400
	w := embeddedServer(t).ask(t, "submit", "POST", "/v1/observations", "["+strings.Repeat(doc.String()+", ", lines-1)+doc.String()+"]", "Content-Type", "application/json")
	var answer api.Submitted
	if err := json.Unmarshal(w.Body.Bytes(), &answer); err != nil || len(answer.Lines) != lines || answer.Done.Refused != lines {
		t.Fatalf("%d lines, %v: %s", len(answer.Lines), err, cut(w.Body.String()))
	}
	slips := 0
	for _, l := range answer.Lines {
		if slips += len(l.Problem.Errors); len(l.Problem.Errors) == 0 || !strings.Contains(l.Problem.Detail, "more") {
			t.Fatalf("line %d is told %+v", l.Line, l.Problem)
		}
	}
	if slips < 1000 || slips > 1000+lines {
		t.Errorf("%d slips are told", slips)
	}
}

// A line is answered as soon as it is stored, though more are to come.
func TestAnswersWhileReading(t *testing.T) {
	s := embeddedServer(t)
	web := httptest.NewServer(s.Server)
	defer web.Close()
	body, send := io.Pipe()
	r, err := http.NewRequest("POST", web.URL+"/v1/observations", body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+s.secrets["submit"])
	r.Header.Set("Content-Type", "application/x-ndjson")
	go io.WriteString(send, oneLine(1)+"\n") // the pipe is read by the request
	res, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	answers := newLineReader(res.Body)
	for n := 1; n <= 3; n++ {
		if line := answers.next(t); !strings.HasPrefix(line, fmt.Sprintf(`{"line":%d,"status":"stored"`, n)) {
			t.Fatalf("answer %d is %s", n, line)
		}
		if n < 3 {
			if _, err := io.WriteString(send, oneLine(n+1)+"\n"); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := send.Close(); err != nil {
		t.Fatal(err)
	}
	if line := answers.next(t); line != `{"done":{"stored":3,"same":0,"corrected":0,"refused":0}}` {
		t.Errorf("the end is %s", line)
	}
}

type lineReader struct{ r io.Reader }

func newLineReader(r io.Reader) *lineReader { return &lineReader{r} }

// next reads one line, byte by byte so that nothing is read ahead.
func (l *lineReader) next(t *testing.T) string {
	t.Helper()
	var line []byte
	for b := make([]byte, 1); ; {
		if _, err := io.ReadFull(l.r, b); err != nil {
			t.Fatalf("after %q: %v", line, err)
		}
		if b[0] == '\n' {
			return string(line)
		}
		line = append(line, b[0])
	}
}

// Progress of an impact comes line by line where it is asked for.
func TestImpactProgress(t *testing.T) {
	s := embeddedServer(t)
	s.ask(t, "submit", "POST", "/v1/observations", "["+oneLine(1)+","+oneLine(2)+"]", "Content-Type", "application/json")
	body, _ := api.Example("rubric-impact.request", "application/json")
	w := s.ask(t, "edit", "POST", "/v1/rubrics/throw-to-second/impact", string(body), "Content-Type", "application/json", "Accept", "application/x-ndjson")
	lines := strings.Split(strings.TrimSpace(w.Body.String()), "\n")
	if len(lines) != 2 || lines[0] != `{"progress":{"done":2}}` || !strings.HasPrefix(lines[1], `{"impact":{"assessments":2,`) {
		t.Errorf("found %q", lines)
	}
}

// down is a database that does not answer.
type down struct{ store.Store }

func (down) KeyByHash(context.Context, string) (string, store.Key, error) {
	return "", store.Key{}, fmt.Errorf("%w: dial the secret address", store.ErrUnavailable)
}

// A database that goes away is 503, not 500, and tells nothing of itself.
func TestDatabaseGone(t *testing.T) {
	shelf := api.ShippedShelf()
	s := api.New(api.Options{Rubrics: shelf, Policies: shelf, Clubs: club.New(down{})})
	w := httptest.NewRecorder()
	r := httptest.NewRequest("GET", "/v1/assessments", nil)
	r.Header.Set("Authorization", "Bearer rc_"+strings.Repeat("x", 43))
	s.ServeHTTP(w, r)
	if w.Code != http.StatusServiceUnavailable || strings.Contains(w.Body.String(), "secret") || w.Header().Get("Retry-After") == "" {
		t.Errorf("found %d %s", w.Code, w.Body)
	}
}

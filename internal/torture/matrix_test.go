package torture_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// A passage is one request of the walk through all operations of a club, which the
// role matrix of the API takes one by one; see testdata/api/club/walk.json.
type passage struct {
	ID, Target string
	Header     []string
	Keep       map[string]string
}

// roles are in the order of what they may.
var roles = []string{"read", "submit", "edit", "admin"}

// A walker takes one club through the walk. All that it sends is marked, so that
// it is known wherever it comes back.
type walker struct {
	*server
	b     *book
	ops   map[string]operation
	keys  map[string]string // by role
	mark  string
	other *walker // of another club

	mu   sync.Mutex
	kept map[string]string
}

// Role × club × route under load: two clubs go through all operations at the same
// time; before each request of its own a club is sent it with every key that may
// not, of both clubs and of none, all at once. Each is answered what it is
// answered alone, or refused for a while, and nothing of a club is in what the
// other is answered.
func TestMatrixUnderLoad(t *testing.T) {
	text, err := os.ReadFile("../../testdata/api/club/walk.json")
	if err != nil {
		t.Fatal(err)
	}
	var walk []passage
	if err := json.Unmarshal(text, &walk); err != nil {
		t.Fatal(err)
	}
	for _, kind := range []string{"SQLite", "PostgreSQL"} {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			at, _ := database(t, kind)
			s, b := newServer(t, at), newBook()
			s.start()
			ops := map[string]operation{}
			for _, op := range operations(s) {
				ops[op.id] = op
			}
			var all sync.WaitGroup
			for pair := range 1 + *rounds/50 {
				one, two := newWalker(s, b, ops, fmt.Sprintf("quartz%d", pair)), newWalker(s, b, ops, fmt.Sprintf("basalt%d", pair))
				one.other, two.other = two, one
				all.Go(func() { one.walk(walk) })
				all.Go(func() { two.walk(walk) })
			}
			all.Wait()
			if b.times("with what was marked") < 100 {
				t.Errorf("marks are hardly in any answer: a leak would not be seen")
			}
			b.report(t, "role matrix under load, "+kind)
			if i := strings.Index(s.log(), `"msg":"panic"`); i >= 0 {
				t.Errorf("a panic: %.3000s", s.log()[i:])
			}
			if out, err := s.command("verify"); err != nil {
				t.Errorf("the log does not verify: %v %s", err, out)
			}
		})
	}
}

func newWalker(s *server, b *book, ops map[string]operation, mark string) *walker {
	w := &walker{server: s, b: b, ops: ops, mark: mark, keys: map[string]string{}, kept: map[string]string{}}
	w.keys["admin"] = s.firstKey("Club " + mark)
	for _, role := range roles[:3] {
		var made struct{ Key string }
		s.must(request{method: "POST", path: "/v1/keys", key: w.keys["admin"], body: fmt.Sprintf(`{"label": %q, "role": %q}`, mark, role)}, 200, &made)
		w.keys[role] = made.Key
	}
	return w
}

func (w *walker) walk(steps []passage) {
	for _, at := range steps {
		op, known := w.ops[at.ID]
		if !known {
			w.b.fault("the OpenAPI document has no operation %s", at.ID)
			return
		}
		w.besiege(at, op)
		if !w.take(at, op) {
			return
		}
	}
}

// besiege sends a passage with every key that may not.
func (w *walker) besiege(at passage, op operation) {
	var all sync.WaitGroup
	defer all.Wait()
	send := func(by *walker, role string, want int) {
		r := by.request(at, op, w, role)
		all.Go(func() { by.expect(r, at.ID+" as "+role+" of "+by.mark, want) })
	}
	send(w, "", http.StatusUnauthorized)
	least := slices.Index(roles, op.role)
	for i, role := range roles {
		switch {
		case i < least:
			send(w, role, http.StatusForbidden)
			send(w.other, role, http.StatusForbidden)
		case w.names(at, op):
			send(w.other, role, http.StatusNotFound)
		case op.method == http.MethodGet:
			send(w.other, role, 0) // what it has of its own, or not yet
		}
	}
}

// take sends a passage with the least role that may, again while it is refused for
// a while, and keeps what later steps name.
func (w *walker) take(at passage, op operation) bool {
	for deadline := time.Now().Add(time.Minute); ; time.Sleep(20 * time.Millisecond) {
		a, ok := w.expect(w.request(at, op, w, op.role), at.ID, 0)
		busy := a.status == http.StatusTooManyRequests || a.status == http.StatusServiceUnavailable || at.ID == "read-export" && a.status == http.StatusConflict
		switch {
		case ok && busy && time.Now().Before(deadline):
			continue
		case at.ID == "cancel-job" && a.status == http.StatusConflict: // done meanwhile
			return true
		case !ok || a.status >= 300:
			w.b.fault("%s of %s is answered %d: %.300s", at.ID, w.mark, a.status, a.body)
			return false
		}
		w.mu.Lock()
		defer w.mu.Unlock()
		for name, pointer := range at.Keep {
			if w.kept[name] = a.header.Get("ETag"); pointer != "ETag" {
				w.kept[name] = pointed(a.body, pointer)
			}
		}
		return true
	}
}

// expect sends a request and holds the answer against what it may be; 0 is
// whatever is no failure.
func (w *walker) expect(r request, what string, want int) (answer, bool) {
	a, err := w.send(r)
	if err != nil {
		w.b.fault("%s: %v", what, err)
		return a, false
	}
	w.b.add("sent", 1)
	shed := a.status == http.StatusTooManyRequests || a.status == http.StatusServiceUnavailable
	switch {
	case shed && a.header.Get("Retry-After") == "":
		w.b.fault("%s is answered %d without Retry-After", what, a.status)
	case shed:
		w.b.add("refused for a while", 1)
	case a.status >= 500, want != 0 && a.status != want:
		w.b.fault("%s is answered %d, wanted %d: %.300s", what, a.status, want, a.body)
	default:
		w.b.add(strconv.Itoa(a.status), 1)
	}
	if strings.Contains(string(a.body), w.mark) {
		w.b.add("with what was marked", 1)
	}
	w.leaks(r, what, a.body)
	return a, true
}

// leaks looks for anything of the other club: what it marked, and ids that were
// not asked for.
func (w *walker) leaks(r request, what string, body []byte) {
	if strings.Contains(string(body), w.other.mark) {
		w.b.add("leaked", 1)
		w.b.fault("%s tells of %s: %.300s", what, w.other.mark, body)
	}
	w.other.mu.Lock()
	defer w.other.mu.Unlock()
	for name, id := range w.other.kept {
		if !strings.HasPrefix(id, `"`) && strings.Contains(string(body), id) && !strings.Contains(r.path+r.body, id) {
			w.b.add("leaked", 1)
			w.b.fault("%s tells the other club's %s: %.300s", what, name, body)
		}
	}
}

// names reports whether a passage names something by an id that this club keeps.
func (w *walker) names(at passage, op operation) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	body, _ := op.example()
	for name, value := range w.kept {
		if !strings.HasPrefix(value, `"`) && strings.Contains(at.Target+body, "{"+name+"}") { // a tag is quoted
			return true
		}
	}
	return false
}

// request is a passage as this club sends it, with the ids of the club of.
func (w *walker) request(at passage, op operation, of *walker, role string) request {
	of.mu.Lock()
	defer of.mu.Unlock()
	fill := func(text string) string {
		for name, value := range of.kept {
			text = strings.ReplaceAll(text, "{"+name+"}", value)
		}
		return strings.ReplaceAll(text, anAssessment, of.kept["assessment"])
	}
	body, media := op.example()
	if at.ID == "plan-group" || at.ID == "read-workload" { // of a day to come, by the server's own clock
		day := time.Now().UTC().AddDate(0, 0, 3).Format(time.DateOnly)
		body, at.Target = strings.Replace(body, "2026-05-12", day, 1), strings.Replace(at.Target, "2026-05-10", day, 1)
	}
	r := request{method: op.method, path: fill(w.marked(at.Target)), body: fill(w.marked(body)), header: map[string]string{}}
	if body != "" {
		r.header["Content-Type"] = media
	}
	if role != "" {
		r.key = w.keys[role]
	}
	for i := 0; i < len(at.Header); i += 2 {
		r.header[at.Header[i]] = fill(at.Header[i+1])
	}
	return r
}

// anAssessment stands in examples of bodies for the id of an assessment.
const anAssessment = "0197a3b1-6f1e-7c41-9a3e-2b7d5c0e4f10"

// texts of the examples are a club's own: references, names, what people wrote.
var (
	players = regexp.MustCompile(`P-\d{4}`)
	texts   = regexp.MustCompile(`monday-catchers|quick-hands|harbour-league|own$|club website|first month|Spring tryout|second base|film and notes|Quick hands|hooks/rootcue|better|sooner`)
)

func (w *walker) marked(text string) string {
	return texts.ReplaceAllString(players.ReplaceAllString(text, "$0-"+w.mark), "$0-"+w.mark)
}

// example is the body an operation is shown with, "" without one.
func (o operation) example() (body, media string) {
	for _, media := range []string{"application/json", "application/yaml"} {
		if list := o.bodies[media]; len(list) > 0 {
			return list[0], media
		}
	}
	return "", ""
}

// pointed is the text at a JSON Pointer, "" where there is none.
func pointed(body []byte, pointer string) string {
	var at any
	if json.Unmarshal(body, &at) != nil {
		return ""
	}
	for _, name := range strings.Split(pointer, "/")[1:] {
		switch v := at.(type) {
		case map[string]any:
			at = v[name]
		case []any:
			if i, err := strconv.Atoi(name); err == nil && i < len(v) {
				at = v[i]
			}
		}
	}
	text, _ := at.(string)
	return text
}

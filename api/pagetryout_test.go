package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rootcue/internal/report/htmltest"
)

// springTryout makes the invented tryout with its grades, which want one look
// more of everybody, and gives its id. The players are S-3, S-7 …
func (s *clubServer) springTryout(t testing.TB, name string) string {
	t.Helper()
	settings, _ := json.Marshal(map[string]any{
		"name": name, "on": "2026-05-09", "panel": []string{"E1", "E2", "E3", "E4"}, "looks": 4, "best": 4,
		"own_items": []any{
			map[string]any{"item": "receiving", "title": "Receiving <b>a pitch</b>", "kind": "grade"},
			map[string]any{"item": "throwing", "title": "Throwing", "kind": "grade"},
			map[string]any{"item": "hand-protected", "title": "Bare hand out of the way", "kind": "yes-no"},
		}})
	var made struct{ ID string }
	if err := json.Unmarshal(s.must(t, "edit", "POST", "/v1/tryouts", string(settings)), &made); err != nil {
		t.Fatal(err)
	}
	roster := "bib,player\n"
	for _, bib := range []int{3, 7, 11, 14, 18, 21, 25, 29, 32, 36, 40, 44} {
		roster += fmt.Sprintf("%d,S-%d\n", bib, bib)
	}
	at := "/v1/tryouts/" + made.ID
	s.must(t, "edit", "POST", at+"/roster", roster, "Content-Type", "text/csv")
	grades, err := os.ReadFile(filepath.Join("..", "testdata", "tryouts", "spring.csv"))
	if err != nil {
		t.Fatal(err)
	}
	s.must(t, "submit", "POST", at+"/grades", string(grades), "Content-Type", "text/csv")
	return made.ID
}

// must asks and fails unless it is done.
func (s *clubServer) must(t testing.TB, as, method, target, body string, header ...string) []byte {
	t.Helper()
	w := s.ask(t, as, method, target, body, header...)
	if w.Code/100 != 2 {
		t.Fatalf("%s %s is answered %d: %s", method, target, w.Code, w.Body)
	}
	return w.Body.Bytes()
}

// visit asks for a page in the session of a key, "" for nobody.
func (s *clubServer) visit(t testing.TB, as, target string, header ...string) *httptest.ResponseRecorder {
	t.Helper()
	return s.open(s.signIn(as), target, header...)
}

// signIn gives the cookies of a session; none for nobody.
func (s *clubServer) signIn(as string) []*http.Cookie {
	if as == "" {
		return nil
	}
	form := httptest.NewRequest("POST", "/sign-in", strings.NewReader(url.Values{"key": {s.secrets[as]}}.Encode()))
	form.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, form)
	return w.Result().Cookies()
}

// open opens a page within a session.
func (s *clubServer) open(session []*http.Cookie, target string, header ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("GET", target, nil)
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	for _, c := range session {
		r.AddCookie(c)
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

// Pages of tryouts and groups are for instructors and administrators of the
// club: nobody else learns even that there is one.
func TestWhoMayOpenTheBoards(t *testing.T) {
	s := embeddedServer(t)
	id := s.springTryout(t, "Spring")
	s.must(t, "edit", "PUT", "/v1/groups/catchers", `{"players": ["S-3", "S-7"]}`)
	for _, path := range []string{"/tryouts", "/tryouts/" + id, "/tryouts/" + id + "/bibs/25", "/groups", "/groups/catchers/plan?minutes=60&turn=12&helpers=1"} {
		for as, want := range map[string]int{"edit": 200, "admin": 200, "submit": 403, "read": 403, "": 303} {
			if w := s.visit(t, as, path); w.Code != want {
				t.Errorf("%s as %q is answered %d, wanted %d", path, as, w.Code, want)
			}
		}
		w := s.visit(t, "other-admin", path)
		if list := path == "/tryouts" || path == "/groups"; list && w.Code != 200 || !list && w.Code != 404 {
			t.Errorf("%s of another club is answered %d", path, w.Code)
		}
		if strings.Contains(w.Body.String(), "Spring") || path == "/groups" && strings.Contains(w.Body.String(), "catchers") {
			t.Errorf("%s tells another club of it", path)
		}
	}
	for _, path := range []string{"/tryouts/none", "/tryouts/" + id + "/bibs/99", "/groups/none/plan"} {
		if w := s.visit(t, "edit", path); w.Code != 404 {
			t.Errorf("%s is answered %d", path, w.Code)
		}
	}
}

// The board shows bibs, never references, with the whole state and without a
// script; what people typed is text; the panel is judged only when something
// changed.
func TestBoardWithoutScript(t *testing.T) {
	s := embeddedServer(t)
	id := s.springTryout(t, `Spring "><script>alert(1)</script>`)
	s.must(t, "edit", "PUT", "/v1/tryouts/"+id+"/recusals/E1/14", `{"why": "family"}`)
	path := "/tryouts/" + id
	edit := s.signIn("edit")
	w := s.open(edit, path)
	page := w.Body.String()
	for _, want := range []string{"12 players, 4 evaluators, 108 grades.", "As of 20", "Looks still missing", "3 of 4 looks on", "ICC(2,1)", "How strict each evaluator is", "Tier 2", "Without E2",
		"E1 does not look at bib 14.", "Receiving &lt;b&gt;a pitch&lt;/b&gt;", "&lt;script&gt;alert(1)"} {
		if !strings.Contains(page, want) {
			t.Errorf("the board lacks %q", want)
		}
	}
	for _, never := range []string{"S-3", "S-44", "<b>a pitch", "<script>alert", "family<"} {
		if strings.Contains(page, never) {
			t.Errorf("the board holds %q", never)
		}
	}
	for _, wrong := range htmltest.Valid(t, w.Body.Bytes()) {
		t.Error(wrong)
	}
	tag := w.Header().Get("ETag")
	if again := s.open(edit, path, "If-None-Match", tag); again.Code != http.StatusNotModified || again.Body.Len() != 0 {
		t.Errorf("an unchanged board is answered %d with %d bytes", again.Code, again.Body.Len())
	}
	if other := s.visit(t, "edit", path, "If-None-Match", tag); other.Code != 200 {
		t.Errorf("the board of another session, with another form, is answered %d", other.Code)
	}
	if spanish := s.open(edit, path+"?lang=es", "If-None-Match", tag); spanish.Code != 200 || !strings.Contains(spanish.Body.String(), "Miradas que faltan") {
		t.Errorf("the board in Spanish is answered %d", spanish.Code)
	}
	for _, change := range [][3]string{
		{"POST", "/grades", `{"grades": [{"bib": "3", "evaluator": "E3", "item": "receiving", "grade": 4}]}`},
		{"POST", "/decisions", `{"bib": "25", "kind": "decision", "chosen": true}`},
		{"DELETE", "/recusals/E1/14", ""},
		{"PUT", "/roster/44", `{"withdrawn": true}`},
		{"POST", "/close", ""},
	} {
		s.must(t, "edit", change[0], "/v1"+path+change[1], change[2])
		next := s.open(edit, path, "If-None-Match", tag)
		if next.Code != 200 || next.Header().Get("ETag") == tag {
			t.Errorf("after %s %s the board is answered %d", change[0], change[1], next.Code)
		}
		tag = next.Header().Get("ETag")
	}
}

// The page of a bib has every grade behind its place.
func TestBibPage(t *testing.T) {
	s := embeddedServer(t)
	id := s.springTryout(t, "Spring")
	w := s.visit(t, "edit", "/tryouts/"+id+"/bibs/25")
	text := htmltest.Text(htmltest.Parse(t, w.Body.Bytes()))
	for _, want := range []string{"Place 1 to 2 of 12, 95 % of the time.", "E1 4, E2 3, E3 3.5", "E1 yes, E2 yes, E3 no", "3.5 ± 0.3", "Looks still missing: 3 of 4 looks on"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page lacks %q: %s", want, text)
		}
	}
	for _, wrong := range htmltest.Valid(t, w.Body.Bytes()) {
		t.Error(wrong)
	}
}

// No family page says anything of a tryout.
func TestNoPlaceReachesAFamily(t *testing.T) {
	s := embeddedServer(t)
	s.springTryout(t, "Spring")
	s.must(t, "submit", "POST", "/v1/observations", `{"rubric": "receiving", "player": {"ref": "S-25", "age": 12}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"set_on_time": true, "quiet_hand": 4}}]}`)
	var list struct{ Items []struct{ ID string } }
	if err := json.Unmarshal(s.must(t, "read", "GET", "/v1/assessments?player=S-25", ""), &list); err != nil || len(list.Items) != 1 {
		t.Fatalf("%v %v", list, err)
	}
	report := string(s.must(t, "read", "GET", "/v1/assessments/"+list.Items[0].ID+"/report", "", "Accept", "text/html"))
	for _, never := range []string{"Spring", "Tier", "tier ", "Place", "tryout", "rank"} {
		if strings.Contains(report, never) {
			t.Errorf("the report holds %q", never)
		}
	}
}

package api_test

import (
	"strings"
	"testing"

	"rootcue/internal/report/htmltest"
)

// practised makes a group of the invented club: D-01 to D-06, of whom D-02
// reported pain.
func (s *clubServer) practised(t testing.TB) {
	t.Helper()
	s.demoStored(t)
	s.must(t, "edit", "POST", "/v1/players/D-02/throws", `[{"date": "2026-05-10", "kind": "pain", "note": "elbow"}]`)
	s.must(t, "edit", "PUT", "/v1/groups/catchers", `{"players": ["D-01", "D-02", "D-03", "D-04", "D-05", "D-06"]}`)
}

const eveningQuery = "/groups/catchers/plan?on=2026-05-10&start=17:30&minutes=60&turn=12&helpers=2"

// The plan on paper: times, stations, gains, throws, what is left over, the
// caution of the one who has one, and the standing note, in both languages.
func TestGroupPage(t *testing.T) {
	s := embeddedServer(t)
	s.practised(t)
	for lang, wants := range map[string][]string{
		"en": {"17:30–17:42", "18:18–18:30", "Cautions first", "D-02", "Pain was reported. No throwing, no catching.", "Stop.", "Who gains what, and why", "Left over, and why", "For everybody", "not medical advice", "Play again only when a licensed clinician says so."},
		"es": {"17:30–17:42", "Primero, los cuidados", "Se informó de dolor. No lanzar ni recibir.", "Alto.", "Para todos", "no es consejo médico"},
	} {
		w := s.visit(t, "edit", eveningQuery+"&lang="+lang)
		text := htmltest.Text(htmltest.Parse(t, w.Body.Bytes()))
		for _, want := range wants {
			if !strings.Contains(text, want) {
				t.Errorf("%s: the plan lacks %q: %s", lang, want, text)
			}
		}
		if _, after, _ := strings.Cut(w.Body.String(), `<ul class="cautions">`); !strings.HasPrefix(after, `<li class="notice bad"><strong>D-02</strong>`) {
			t.Errorf("%s: the stop does not come first", lang)
		}
		for _, wrong := range htmltest.Valid(t, w.Body.Bytes()) {
			t.Errorf("%s: %s", lang, wrong)
		}
		_, turns, _ := strings.Cut(w.Body.String(), `<ol class="turns">`)
		turns, _, _ = strings.Cut(turns, "</ol>")
		for _, at := range strings.Split(turns, "<div>") {
			if strings.Contains(at, "D-02") && !strings.Contains(at, `class="soft"`) {
				t.Errorf("%s: who has pain is at a station: %s", lang, at)
			}
		}
	}
}

// What cannot be planned is said beside the form, and nothing typed is lost.
func TestGroupPageRefuses(t *testing.T) {
	s := embeddedServer(t)
	s.practised(t)
	for query, want := range map[string]string{
		"minutes=60&turn=0&helpers=1":                  "found 0",
		"minutes=ten&turn=12&helpers=1":                "a whole number",
		"minutes=60&turn=12&helpers=1&start=half":      "a time such as 17:30",
		"minutes=60&turn=12&helpers=1&on=2026-05-01":   "2026-05-01",
		"minutes=60&turn=12&helpers=1&on=soon":         "soon",
		"minutes=60&turn=12&helpers=1&station=no-such": "no-such",
	} {
		w := s.visit(t, "edit", "/groups/catchers/plan?"+query)
		text := htmltest.Text(htmltest.Parse(t, w.Body.Bytes()))
		if w.Code != 422 || !strings.Contains(text, want) || !strings.Contains(w.Body.String(), `name="minutes"`) {
			t.Errorf("%s is answered %d, wanted 422 with %q and the form: %s", query, w.Code, want, text)
		}
	}
	if w := s.visit(t, "edit", "/groups/catchers/plan"); w.Code != 200 || strings.Contains(w.Body.String(), `class="turns"`) || !strings.Contains(w.Body.String(), `type="date" required value="20`) {
		t.Errorf("the form alone is answered %d", w.Code)
	}
}

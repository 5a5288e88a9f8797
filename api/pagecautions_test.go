package api_test

import (
	"slices"
	"strings"
	"testing"
)

// pageCarriers are the pages that show an assessment or what an arm may do;
// noPageCarriers show none. A new page must be put into one of the two.
var (
	pageCarriers = map[string]string{
		"/review":            "/review?on=2026-05-09",
		"/review/reports":    "/review/reports?on=2026-05-09&all=yes",
		"/groups/:name/plan": eveningQuery,
	}
	noPageCarriers = strings.Fields("/ /sign-in /sign-out /session /entry /entry-worker.js /groups /rubrics /rubrics/:name/edit /tryouts /tryouts/new /tryouts/:id /tryouts/:id/bibs/:bib")
)

// Every page that shows an assessment or a practice sends to a clinician and
// holds the standing note, and every page is known to show one or not to.
func TestEveryPageCarriesCautions(t *testing.T) {
	s := embeddedServer(t)
	s.practised(t)
	for _, page := range s.Pages() {
		_, path, _ := strings.Cut(page, " ")
		if pageCarriers[path] == "" && !slices.Contains(noPageCarriers, path) {
			t.Errorf("%s: say whether it shows an assessment or what an arm may do; if so, it must carry cautions", path)
		}
	}
	for _, target := range pageCarriers {
		w := s.visit(t, "edit", target)
		for _, want := range []string{"licensed clinician", "not medical advice"} {
			if w.Code != 200 || !strings.Contains(w.Body.String(), want) {
				t.Errorf("%s is answered %d without %q", target, w.Code, want)
			}
		}
	}
}

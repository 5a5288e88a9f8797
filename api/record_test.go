package api_test

import (
	"net/http"
	"strings"
	"testing"

	"rootcue/api"
	"rootcue/internal/club"
)

// A refusal of the use cases is the client's to mend: a problem that says what
// stands in the way, never a 500.
func TestRefusalsAreProblems(t *testing.T) {
	for _, c := range []struct {
		err    error
		status int
		says   string
	}{
		{club.ErrNotAllowed, http.StatusForbidden, "larger role"},
		{club.ErrAssessed, http.StatusConflict, "correct the observation"},
		{club.ErrReplaced, http.StatusConflict, "replaced by a later one"},
		{club.ErrNotReleased, http.StatusConflict, "released"},
		{club.ErrUnfinished, http.StatusConflict, "still being made"},
		{club.ErrManySecrets, http.StatusConflict, "four secrets"},
		{club.ErrHeld, http.StatusConflict, "legal hold"},
		{club.ErrNoAge, http.StatusConflict, "month of birth"},
	} {
		p := api.ClubProblem(c.err)
		if p == nil || p.Status != c.status || !strings.Contains(p.Detail, c.says) {
			t.Errorf("%v becomes %+v, wanted %d that says %q", c.err, p, c.status, c.says)
		}
	}
}

// A player under legal hold is kept, and the answer says why.
func TestEraseUnderLegalHold(t *testing.T) {
	s := embeddedServer(t)
	for _, step := range []struct {
		method, target, body string
		status               int
	}{
		{"PUT", "/v1/players/P-0801", `{"age": 14}`, 0},
		{"PUT", "/v1/players/P-0801/hold", `{"held": true, "why": "an order of the county court"}`, http.StatusNoContent},
		{"DELETE", "/v1/players/P-0801", "", http.StatusConflict},
		{"GET", "/v1/players/P-0801", "", http.StatusOK},
	} {
		w := s.ask(t, "admin", step.method, step.target, step.body, "Content-Type", "application/json")
		if w.Code >= 500 || step.status != 0 && w.Code != step.status {
			t.Fatalf("%s %s is answered %d, wanted %d: %s", step.method, step.target, w.Code, step.status, w.Body)
		}
		if step.method == "DELETE" && !strings.Contains(w.Body.String(), "legal hold") {
			t.Errorf("the answer does not say why: %s", w.Body)
		}
	}
}

package api_test

import (
	"encoding/json"
	"strings"
	"testing"

	"rootcue/api"
)

// newTryout makes a tryout with a roster of bibs 7, 12 and 14 and gives its id.
func newTryout(t testing.TB, s *clubServer, settings string) string {
	t.Helper()
	w := s.ask(t, "edit", "POST", "/v1/tryouts", settings, "Content-Type", "application/json")
	if w.Code != 200 {
		t.Fatalf("the tryout is answered %d: %s", w.Code, cut(w.Body.String()))
	}
	id := strings.Trim(at(t, w.Body.Bytes(), "/id"), `"`)
	w = s.ask(t, "edit", "POST", "/v1/tryouts/"+id+"/roster", "bib,player\n7,P-07\n12,P-12\n14,P-14\n", "Content-Type", "text/csv")
	if got := at(t, w.Body.Bytes(), "/done/stored"); got != "3" {
		t.Fatalf("%s players are stored: %s", got, cut(w.Body.String()))
	}
	return id
}

// gradesOf are the grades of a tryout as an instructor reads them.
func gradesOf(t testing.TB, s *clubServer, id string) []api.GradeItem {
	t.Helper()
	var page api.Page[api.GradeItem]
	if err := json.Unmarshal(s.ask(t, "edit", "GET", "/v1/tryouts/"+id+"/grades", "").Body.Bytes(), &page); err != nil {
		t.Fatal(err)
	}
	return page.Items
}

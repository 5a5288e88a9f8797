package pages_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"rootcue/engine/panel"
	"rootcue/engine/practice"
	"rootcue/internal/report/pages"
)

// fromRoot is a file of testdata.
func fromRoot(t testing.TB, name ...string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(append([]string{"..", "..", "..", "testdata"}, name...)...))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// boardOf judges grades and puts them on a board.
func boardOf(t testing.TB, grades []panel.Grade, o panel.Options, items []pages.Graded, decisions ...pages.Decision) pages.Board {
	t.Helper()
	r, problems := panel.Tryout(grades, o)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	b := pages.Board{ID: "0190a000-0000-7000-8000-000000000001", Name: "Spring", At: "14:05", Mark: "1", Best: o.Best, Items: items, Decisions: decisions, Grades: len(grades)}
	b.Players, b.Panel = len(r.Standing), []string{"E1", "E2", "E3", "E4"}
	b.Show(r)
	return b
}

// spring is the invented tryout.
func spring(t testing.TB) pages.Board {
	t.Helper()
	grades, slips := panel.ReadCSV("spring.csv", fromRoot(t, "tryouts", "spring.csv"))
	if len(slips) > 0 {
		t.Fatal(slips)
	}
	b := boardOf(t, grades, panel.Options{Best: 4, Looks: 2}, []pages.Graded{
		{Name: "receiving", Title: "Receiving", Unit: "grade", Weight: "0.33"},
		{Name: "throwing", Title: "Throwing", Unit: "grade", Weight: "0.33"},
		{Name: "hand-protected", Title: "Bare hand out of the way", Unit: "yes-no", Weight: "0.33"},
	},
		pages.Decision{Bib: "25", Code: "chosen", Group: "14-A", Feedback: "A quiet hand. Work on the low pitch.", At: "2026-03-14 16:20"},
		pages.Decision{Bib: "11", Code: "not-chosen", Why: "All places of 14-A are given", At: "2026-03-14 16:22"},
		pages.Decision{Bib: "11", Code: "open", Why: "A second look is asked for", At: "2026-03-15 09:10"})
	b.Missing = []pages.Missing{
		{Bib: "14", Wants: []pages.Want{{Items: []string{"Receiving"}, Has: 1, Wants: 2, By: []string{"E2", "E3"}}}},
		{Bib: "21", Wants: []pages.Want{{Items: []string{"Throwing", "Bare hand out of the way"}, More: 3, Has: 0, Wants: 2}}},
	}
	b.Recusals = []pages.Recusal{{Evaluator: "E3", Bib: "7"}}
	b.Undecided, b.Untold = []string{"3", "7"}, []string{"3", "7", "11"}
	return b
}

// large is a panel of sixty players at six items, which not everyone saw, with
// an evaluator who grades all alike and one who has the scale upside down.
func large(t testing.TB) pages.Board {
	t.Helper()
	rnd := rand.New(rand.NewPCG(8, 4))
	var grades []panel.Grade
	var items []pages.Graded
	for i := range 6 {
		name := fmt.Sprintf("item-%d", i+1)
		items = append(items, pages.Graded{Name: name, Title: fmt.Sprintf("The %dth thing that the panel grades by eye", i+1), Unit: "grade", Weight: "0.17"})
		for bib := range 60 {
			truth := 3 + rnd.NormFloat64()
			for e := range 6 {
				if (bib+e)%6 > 3 {
					continue
				}
				v := truth + 0.2*float64(e) + 0.4*rnd.NormFloat64()
				switch {
				case e == 4 && i == 0:
					v = 3
				case e == 5 && i == 1:
					v = 6 - truth
				}
				grades = append(grades, panel.Grade{Bib: fmt.Sprint(bib + 101), Evaluator: fmt.Sprintf("coach-%d", e+1), Item: name, Value: min(max(float64(int(2*v))/2, 1), 5)})
			}
		}
	}
	b := boardOf(t, grades, panel.Options{Best: 12, Looks: 3}, items)
	b.Panel = make([]string, 6)
	for i := range 20 {
		b.Missing = append(b.Missing, pages.Missing{Bib: fmt.Sprint(101 + 3*i), Wants: []pages.Want{{Items: []string{items[i%6].Title, items[(i+1)%6].Title}, Has: 1, Wants: 2, By: []string{"coach-1", "coach-2"}}}})
	}
	return b
}

// apart is a panel that falls into two parts.
func apart(t testing.TB) pages.Board {
	t.Helper()
	var grades []panel.Grade
	for i, bib := range []string{"1", "2", "3", "4"} {
		for k := range 2 {
			grades = append(grades, panel.Grade{Bib: bib, Evaluator: fmt.Sprintf("E%d", 1+k+2*(i/2)), Item: "receiving", Value: float64(2 + i%3 + k)})
		}
	}
	b := boardOf(t, grades, panel.Options{Best: 2}, nil)
	b.Players = 4
	return b
}

// evening is the invented practice.
func evening(t testing.TB) pages.Group {
	t.Helper()
	d, problems := practice.Read("evening.yaml", fromRoot(t, "practices", "evening.yaml"))
	if d == nil {
		t.Fatal(problems)
	}
	g := pages.Group{Name: "catchers-u14", Day: "2026-05-12", Form: pages.PracticeForm{Start: "17:30", Minutes: d.Practice.Minutes, Turn: d.Practice.Turn, Helpers: d.Practice.Helpers}}
	for i, s := range d.Practice.Stations {
		c := pages.StationChoice{Drill: s.Drill, Title: []string{"Shoulder change", "Quick feet", "Throws from the knees", "Feet on a chalk line"}[i], Places: s.Places, Throws: s.Throws, Helper: s.Helper, Chosen: true}
		g.Form.Stations = append(g.Form.Stations, c)
		g.Stations = append(g.Stations, pages.GroupStation{StationChoice: c, How: "Meet the ball at the shoulder", Dose: "2 x 8", Kit: []string{"tennis ball"}})
	}
	g.Show(practice.Make(d.Practice))
	for i, who := range d.Practice.Players { // both by reference
		g.Players[i].Left = fmt.Sprint(*who.ThrowsLeft)
		g.Players[i].Seen = []pages.Assessment{{ID: fmt.Sprintf("0190a000-0000-7000-8000-00000000001%d", i), Title: "Throw to second base", On: "2026-05-09"}}
	}
	g.Players[1].Notes = []string{"A caution stops throwing: no turn at a station that throws."}
	g.Shared = []pages.SharedRoot{{Title: "The feet are late", Drills: []string{"Quick feet"}, Players: []string{"P-0741", "P-0758"}}}
	g.Everybody = []pages.Caution{{Level: "note", Lead: "League rules come first."}, {Level: "note", Says: "No published limit for a catcher's throws exists."}}
	g.Advice = []string{"Tired arm: no more throws that day.", "Hot day: gear off between turns, shade, and water."}
	g.Cautions = []pages.MemberCautions{{Ref: "P-0741", Cautions: []pages.Caution{
		{Level: "stop", Says: "75 pitches on 2026-05-10: 4 days of rest from pitching under example-league, until 2026-05-15."},
		{Level: "note", Says: "How many throws another team counted is not known."}}}}
	return g
}

// bib25 is the page of one bib of the invented tryout.
func bib25(t testing.TB) pages.Bib {
	t.Helper()
	board := spring(t)
	b := pages.Bib{Tryout: pages.Titled{Name: board.ID, Title: board.Name}, Bib: "25", Best: board.Best, Items: []pages.BibItem{
		{Title: "Receiving", Unit: "grade", Adjusted: "3.5 ± 0.2", Raw: "3.50", Looks: []pages.Looked{{Evaluator: "E1", Look: 1, Grade: "4"}, {Evaluator: "E2", Look: 1, Grade: "3"}, {Evaluator: "E2", Look: 2, Grade: "3.5"}}},
		{Title: "Bare hand out of the way", Unit: "yes-no"},
	}}
	b.Find(&board)
	return b
}

// A shown is a page to look at.
type shown struct {
	lang, page, about, script string
	data                      any
}

// boards are the pages of tryouts and groups.
func boards(t testing.TB) map[string]shown {
	t.Helper()
	return map[string]shown{
		"board":         {"en", "board", "Spring", "board.js", spring(t)},
		"board-large":   {"es", "board", "Spring", "board.js", large(t)},
		"board-apart":   {"es", "board", "Spring", "board.js", apart(t)},
		"board-empty":   {"en", "board", "Spring", "board.js", pages.Board{ID: "x", Closed: true, Best: 4}},
		"bib":           {"es", "bib", "25", "bib.js", bib25(t)},
		"tryouts":       {"en", "tryouts", "", "", pages.Tryouts{Tryouts: []pages.TryoutLine{{ID: "x", Name: "Spring", Day: "2026-03-14"}, {ID: "y", Name: "Autumn", Day: "2025-09-12", Closed: true}}}},
		"tryouts-empty": {"en", "tryouts", "", "", pages.Tryouts{}},
		"group":         {"en", "group", "catchers-u14", "paper.js", evening(t)},
		"group-spanish": {"es", "group", "catchers-u14", "paper.js", evening(t)},
		"group-asked":   {"en", "group", "catchers-u14", "paper.js", pages.Group{Name: "catchers-u14", Form: evening(t).Form, Problem: "found 0 turns"}},
		"groups":        {"es", "groups", "", "", pages.Groups{Groups: []pages.GroupLine{{Name: "catchers-u14", Members: 4}}}},
		"groups-empty":  {"en", "groups", "", "", pages.Groups{}},
	}
}

// written is a page as it is sent.
func written(t testing.TB, s shown) []byte {
	t.Helper()
	var b bytes.Buffer
	f := pages.Frame{Lang: s.lang, Page: s.page, Path: "/x", About: s.about, Club: "Example club", Role: "edit", CSRF: "token", Script: s.script,
		Links: []pages.Link{{Page: "entry", Path: "/entry"}, {Page: "review", Path: "/review"}, {Page: "tryouts", Path: "/tryouts"}, {Page: "groups", Path: "/groups"}, {Page: "docs", Path: "/docs"}}}
	if err := pages.Write(&b, f, s.data); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

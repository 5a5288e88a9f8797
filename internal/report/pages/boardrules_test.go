package pages_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rootcue/engine/panel"
	"rootcue/engine/practice"
	"rootcue/internal/report/htmltest"
	"rootcue/internal/report/pages"
)

// TestBoardsAreValid holds all boards to the HTML standard.
func TestBoardsAreValid(t *testing.T) {
	for name, s := range boards(t) {
		for _, w := range htmltest.Valid(t, written(t, s)) {
			t.Errorf("%s: %s", name, w)
		}
	}
}

// TestBoardsByStructure holds the pages by their structure.
func TestBoardsByStructure(t *testing.T) {
	all := boards(t)
	for _, name := range []string{"board", "board-apart", "bib", "group", "group-asked"} {
		t.Run(name, func(t *testing.T) { golden(t, name, htmltest.Outline(t, written(t, all[name]))) })
	}
}

// TestBoardsAreLight: a board of sixty players with its style and scripts weighs
// at most 100 KB.
func TestBoardsAreLight(t *testing.T) {
	weight := len(written(t, boards(t)["board-large"]))
	for _, file := range []string{"pages.css", "page.js", "board.js"} {
		info, err := os.Stat(filepath.Join("..", "..", "..", "api", "static", file))
		if err != nil {
			t.Fatal(err)
		}
		weight += int(info.Size())
	}
	if kb := float64(weight) / 1024; kb > 100 {
		t.Errorf("%.0f KB, wanted 100 at most", kb)
	}
}

// TestBoardsShowTextAsText: what people type is never markup.
func TestBoardsShowTextAsText(t *testing.T) {
	const evil = `"><script>alert(1)</script><img src=x onerror=alert(1)>`
	grades := []panel.Grade{}
	for b := range 6 {
		for e := range 3 {
			grades = append(grades, panel.Grade{Bib: fmt.Sprint(evil, b), Evaluator: fmt.Sprint(evil, e), Item: evil, Value: float64((b*5+e*3)%7) / 2})
		}
	}
	board := boardOf(t, grades, panel.Options{Best: 2, Looks: 1}, []pages.Graded{{Name: evil, Title: evil, Unit: "grade", Weight: "1"}},
		pages.Decision{Bib: evil + "0", Code: "chosen", Group: evil, Why: evil, Feedback: evil, At: "2026-03-14 16:20"})
	board.Name, board.Notes, board.Undecided, board.Untold = evil, []string{evil}, []string{evil}, []string{evil}
	board.Missing = []pages.Missing{{Bib: evil, Wants: []pages.Want{{Items: []string{evil}, By: []string{evil}}}}}
	board.Recusals = []pages.Recusal{{Evaluator: evil, Bib: evil}}
	board.Flags = []pages.Flag{{Evaluator: evil, Item: evil, Code: "flat", Says: evil}}
	bib := pages.Bib{Tryout: pages.Titled{Name: evil, Title: evil}, Bib: evil + "0", Recused: []string{evil}, Items: []pages.BibItem{{Title: evil, Unit: "grade", Looks: []pages.Looked{{Evaluator: evil, Look: 2, Grade: evil}}}}}
	bib.Find(&board)
	group := pages.Group{Name: evil, Day: evil, Problem: evil, Form: pages.PracticeForm{Start: "17:30", Minutes: 20, Turn: 10, Stations: []pages.StationChoice{{Drill: evil, Title: evil}}}}
	group.Stations = []pages.GroupStation{{StationChoice: pages.StationChoice{Drill: evil, Title: evil}, How: evil, Dose: evil, Kit: []string{evil}}}
	group.Show(practice.Make(practice.Practice{Minutes: 20, Turn: 10, Stations: []practice.Station{{Drill: evil, Places: 1}},
		Players: []practice.Player{{Ref: evil, Gains: map[string]float64{evil: 0.1}}, {Ref: evil + "1", Gains: map[string]float64{evil: 0.2}}}}))
	group.Shared = []pages.SharedRoot{{Title: evil, Drills: []string{evil}, Players: []string{evil}}}
	group.Cautions = []pages.MemberCautions{{Ref: evil, Cautions: []pages.Caution{{Level: "stop", Lead: evil, Says: evil}}}}
	group.Everybody, group.Advice = []pages.Caution{{Says: evil}}, []string{evil}
	for page, data := range map[string]any{
		"board": board, "bib": bib, "group": group,
		"tryouts": pages.Tryouts{Tryouts: []pages.TryoutLine{{ID: evil, Name: evil, Day: evil}}}, "groups": pages.Groups{Groups: []pages.GroupLine{{Name: evil}}},
	} {
		for _, lang := range pages.Languages() {
			got := string(written(t, shown{lang, page, evil, "board.js", data}))
			if strings.Contains(got, "<script>alert") || strings.Contains(got, "<img") {
				t.Errorf("%s in %s: markup of a user stands in the page", page, lang)
			}
			if !strings.Contains(got, "alert(1)") {
				t.Errorf("%s in %s: the texts are not shown", page, lang)
			}
			for _, w := range htmltest.Nesting([]byte(got)) {
				t.Errorf("%s in %s: %s", page, lang, w)
			}
		}
	}
}

// TestClockOfTheTurns: from the stated start, over midnight too, and what is
// left over of the minutes.
func TestClockOfTheTurns(t *testing.T) {
	d := practice.Practice{Minutes: 50, Turn: 15, Stations: []practice.Station{{Drill: "quick-feet", Places: 1}}, Players: []practice.Player{{Ref: "P-1", Gains: map[string]float64{"quick-feet": 0.1}}}}
	g := pages.Group{Form: pages.PracticeForm{Start: "23:40", Minutes: 50, Turn: 15}}
	g.Show(practice.Make(d))
	got := g.Turns[0].From + " " + g.Turns[1].From + " " + g.Turns[2].From + " " + g.End
	if got != "23:40 23:55 00:10 00:25" || g.Over != 5 {
		t.Errorf("%s, %d minutes over", got, g.Over)
	}
	if w := g.Players[0].Way; len(w) != 1 || w[0].From != "23:40" || w[0].To != "00:10" || g.Turns[2].Free[0] != "P-1" { // a third turn gives nothing
		t.Errorf("way %v, free %v", g.Players[0].Way, g.Turns[2].Free)
	}
}

// TestPlacesComeWithIntervals: no place stands alone, no score without its
// uncertainty.
func TestPlacesComeWithIntervals(t *testing.T) {
	for _, tier := range spring(t).Tiers {
		for _, p := range tier.Parts {
			for _, row := range p.Rows {
				if row.Low == "" || row.High == "" || !strings.Contains(row.Score, "±") {
					t.Errorf("bib %s stands without an interval: %+v", row.Bib, row)
				}
			}
		}
	}
}

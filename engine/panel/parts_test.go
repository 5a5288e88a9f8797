package panel

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

func TestUnconnectedPanelNamesItsPartsAndWhatJoinsThem(t *testing.T) {
	// E1 and E2 see players 1–3, E3 and E4 players 4 and 5, E5 player 6.
	rows := [][]float64{
		{3, 4, nan, nan, nan}, {2, nan, nan, nan, nan}, {5, 5, nan, nan, nan},
		{nan, nan, 1, 2, nan}, {nan, nan, 3, 3, nan}, {nan, nan, nan, nan, 4},
	}
	got, ok := split(tableOf(rows), nil)
	if ok {
		t.Fatal("taken as connected")
	}
	want := Split{Item: "item",
		Parts: []Part{{[]string{"E1", "E2"}, []string{"1", "2", "3"}}, {[]string{"E3", "E4"}, []string{"4", "5"}}, {[]string{"E5"}, []string{"6"}}},
		Joins: []Look{
			{"4", "E2", "item", "joins E3 and E4 to the rest of the panel"},
			{"6", "E1", "item", "joins E5 to the rest of the panel"},
		}}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	for _, part := range []string{"E1 and E2 with players 1, 2 and 3", "E5 with players 6", "E2 grades player 4 and E1 grades player 6"} {
		if !strings.Contains(got.Says(), part) {
			t.Errorf("%q does not say %q", got.Says(), part)
		}
	}
}

// TestJoinsAreEnoughAndNoneCanBeSpared holds the planned looks against the rank
// of the design: connected when it has players + evaluators − 1.
func TestJoinsAreEnoughAndNoneCanBeSpared(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, k := rapid.IntRange(1, 8).Draw(t, "players"), rapid.IntRange(1, 6).Draw(t, "evaluators")
		var grades []Grade
		for p := range n {
			for e := range k {
				if rapid.IntRange(0, 3).Draw(t, "seen") == 0 {
					grades = append(grades, Grade{Bib: fmt.Sprint(p), Evaluator: fmt.Sprint(e), Item: "item"})
				}
			}
		}
		if len(grades) == 0 {
			return
		}
		tab := tables(grades)[0]
		s, ok := split(tab, nil)
		missing := len(tab.players) + len(tab.evaluators) - 1 - rankOfDesign(tab)
		if ok != (missing == 0) || len(s.Joins) != missing {
			t.Fatalf("connected %v with %d joins, the design lacks %d", ok, len(s.Joins), missing)
		}
		for _, j := range s.Joins {
			grades = append(grades, Grade{Bib: j.Bib, Evaluator: j.Evaluator, Item: "item"})
		}
		if _, ok := split(tables(grades)[0], nil); !ok {
			t.Fatalf("still apart after %v", s.Joins)
		}
	})
}

func rankOfDesign(t table) int {
	m := mat.NewDense(len(t.looks), len(t.players)+len(t.evaluators), nil)
	for i, l := range t.looks {
		m.Set(i, l.player, 1)
		m.Set(i, len(t.players)+l.evaluator, 1)
	}
	var svd mat.SVD
	svd.Factorize(m, mat.SVDNone)
	return svd.Rank(1e-10)
}

// TestNextLookTeachesMost tries every look: none shrinks the determinant of the
// parameters' covariance more than the planned one.
func TestNextLookTeachesMost(t *testing.T) {
	rows := [][]float64{{9, 2, nan}, {6, nan, 3}, {8, 4, nan}, {7, nan, nan}, {nan, 5, 6}}
	tab := tableOf(rows)
	planned := nextLooks(tab, 1, nil)[0]
	best, at := 0.0, Look{}
	for p, bib := range tab.players {
		for e, name := range tab.evaluators {
			more := tab
			more.looks = append(append([]look(nil), tab.looks...), look{p, e, 2, 0})
			if d := information(more); d > best*(1+1e-12) {
				best, at = d, Look{Bib: bib, Evaluator: name}
			}
		}
	}
	if planned.Bib != at.Bib || planned.Evaluator != at.Evaluator {
		t.Errorf("planned %s by %s, the most is learnt from %s by %s", planned.Bib, planned.Evaluator, at.Bib, at.Evaluator)
	}
}

// information is the determinant of the normal equations, evaluators effect coded.
func information(t table) float64 {
	n, k := len(t.players), len(t.evaluators)
	x := mat.NewDense(len(t.looks), n+k-1, nil)
	for i, l := range t.looks {
		x.Set(i, l.player, 1)
		for e := range k - 1 {
			if l.evaluator == e {
				x.Set(i, n+e, 1)
			} else if l.evaluator == k-1 {
				x.Set(i, n+e, -1)
			}
		}
	}
	var g mat.Dense
	g.Mul(x.T(), x)
	return mat.Det(&g)
}

func TestLooksArePlannedOneAfterTheOther(t *testing.T) {
	rows := [][]float64{{9, 2, 4}, {6, nan, 3}, {8, 4, nan}}
	got := nextLooks(tableOf(rows), 3, nil)
	if len(got) != 3 || (got[0] == got[1]) {
		t.Fatalf("got %+v", got)
	}
	seen := map[string]bool{}
	for _, l := range got[:2] { // the two looks nobody took come before any second look
		seen[l.Bib+l.Evaluator] = true
	}
	if !seen["2E2"] || !seen["3E3"] {
		t.Errorf("got %+v, want 2 by E2 and 3 by E3 first", got)
	}
	if again := nextLooks(tableOf(judges), 1, nil)[0]; !strings.Contains(again.Says, "a second look, without sight of the first grade") {
		t.Errorf("everyone saw everyone: %q does not ask for a second look", again.Says)
	}
}

func TestFlags(t *testing.T) {
	// Invented: E1–E3 agree roughly; the fourth is the case.
	base := [][]float64{{1, 2, 1}, {2, 2, 3}, {3, 4, 3}, {4, 4, 5}, {5, 6, 5}, {6, 6, 7}}
	for _, c := range []struct {
		name   string
		fourth []float64
		want   string
	}{
		{"as the others", []float64{1, 3, 3, 4, 6, 6}, ""},
		{"strict but right", []float64{-4, -3, -2, -1, 0, 1}, ""},
		{"a narrow stretch of the scale", []float64{3, 3.2, 3.4, 3.9, 4.2, 4.4}, ""},
		{"upside down", []float64{6, 5, 4, 3, 2, 1}, "upside-down"},
		{"all the same", []float64{3, 3, 3, 3, 3, 3}, "flat"},
		{"nearly the same", []float64{3, 3.1, 3, 3.1, 3, 3.1}, "flat"},
		{"upside down, with a slip", []float64{6, 5, 2, 4, 2, 1}, "upside-down"},
		{"against the others by chance", []float64{4, 5, 3, 5, 3, 4}, ""},
		{"upside down, but over four players only", []float64{6, 5, nan, nan, 2, 1}, ""},
		{"flat, but over four players only", []float64{3, 3, nan, nan, 3, 3}, ""},
	} {
		var rows [][]float64
		for i, row := range base {
			rows = append(rows, append(append([]float64(nil), row...), c.fourth[i]))
		}
		tab := tableOf(rows)
		got := ""
		for _, f := range flags(tab, fit(tab)) {
			if f.Evaluator != "E4" || f.Says == "" || f.Item != "item" {
				t.Errorf("%s: %+v", c.name, f)
			}
			got = f.Code
		}
		if got != c.want {
			t.Errorf("%s: flag %q, want %q", c.name, got, c.want)
		}
	}
}

// TestFlagsAreRareWithoutCause: in panels of honest evaluators, and on an item
// that is nothing but noise, no more evaluators are flagged than chance would: one
// in ten.
func TestFlagsAreRareWithoutCause(t *testing.T) {
	for name, scatter := range map[string]float64{"a good item": 0.7, "nothing but noise": 1e6} {
		flagged, all := 0, 0
		for seed := range uint64(100) {
			for _, tab := range tables(simulate(design{players: 20, evaluators: 5, seenBy: 4, items: 2, severity: 0.5, scatter: scatter}, seed).grades) {
				flagged += len(flags(tab, fit(tab)))
				all += 5
			}
		}
		if share := float64(flagged) / float64(all); share > 0.12 {
			t.Errorf("%s: %.3f of the evaluators are flagged", name, share)
		}
	}
}

func TestARunOfYesIsFlatOnlyWhereUnlikely(t *testing.T) {
	panel := func(yes int, n int) []Flag {
		var grades []Grade
		for p := range n {
			for e := range 4 {
				v := 1.0 // E4 always yes
				if e < 3 && p >= yes {
					v = 0
				}
				grades = append(grades, Grade{Bib: fmt.Sprint(p), Evaluator: fmt.Sprint("E", e+1), Item: "hand", Value: v, YesNo: true})
			}
		}
		tab := tables(grades)[0]
		return flags(tab, fit(tab))
	}
	if got := panel(5, 10); len(got) != 1 || got[0].Code != "flat" || got[0].Evaluator != "E4" {
		t.Errorf("ten yes where the panel has five: %+v", got)
	}
	if got := panel(9, 10); len(got) != 0 {
		t.Errorf("ten yes where the panel has nine: %+v", got)
	}
}

// A barred look is never planned: neither to join parts nor to learn more.
func TestBarredLooksAreNotPlanned(t *testing.T) {
	apart := tableOf([][]float64{{3, 4, nan}, {2, 5, nan}, {nan, nan, 1}})
	var grades []Grade
	for _, l := range apart.looks {
		grades = append(grades, Grade{Bib: apart.players[l.player], Evaluator: apart.evaluators[l.evaluator], Item: "item", Value: l.grade})
	}
	for _, c := range []struct {
		barred string // evaluator and player
		want   string
	}{{"", "E1 3"}, {"E1 3", "E2 3"}, {"E1 3, E2 3", "E3 1"}, {"E1 3, E2 3, E3 1", "E3 2"}, {"E1 3, E2 3, E3 1, E3 2", ""}} {
		got := ""
		for _, l := range NextLooks(grades, 1, func(e, bib string) bool { return strings.Contains(c.barred, e+" "+bib) }) {
			got = l.Evaluator + " " + l.Bib
		}
		if got != c.want {
			t.Errorf("with %q barred the look is %q, wanted %q", c.barred, got, c.want)
		}
	}
	s, _ := split(apart, func(string, string) bool { return true })
	if len(s.Joins) != 0 || !strings.HasSuffix(s.Says(), "every look that would join them is barred") {
		t.Errorf("with all looks barred it says %q", s.Says())
	}
	whole := NextLooks(grades[:4], 6, func(e, _ string) bool { return e == "E1" })
	for _, l := range whole {
		if l.Evaluator == "E1" {
			t.Errorf("planned %v, which is barred", l)
		}
	}
	if len(whole) != 6 {
		t.Errorf("%d looks are planned, wanted 6", len(whole))
	}
}

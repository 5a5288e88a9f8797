package panel

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// TestKappaSeesWhatItShould: who is first, how the answers are named, and how
// many players there are do not matter; κ is 1 only without a disagreement.
func TestKappaSeesWhatItShould(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 4).Draw(t, "answers")
		counts, turned, doubled, renamed := square(n), square(n), square(n), square(n)
		agree, all := 0.0, 0.0
		for i := range n {
			for j := range n {
				c := float64(rapid.IntRange(0, 9).Draw(t, "count"))
				counts[i][j], turned[j][i], doubled[i][j], renamed[n-1-i][n-1-j] = c, c, 2*c, c
				all += c
				if i == j {
					agree += c
				}
			}
		}
		k := Kappa(counts)
		for _, same := range []float64{Kappa(turned), Kappa(doubled), Kappa(renamed)} {
			if math.IsNaN(k) != math.IsNaN(same) || math.Abs(k-same) > 1e-12 {
				t.Fatalf("%v and %v for %v", k, same, counts)
			}
		}
		if !math.IsNaN(k) && (k > 1 || k == 1 != (agree == all)) {
			t.Fatalf("κ %v with %v of %v agreeing", k, agree, all)
		}
	})
}

// TestCSVComesBack: grades written as CSV are read as they were.
func TestCSVComesBack(t *testing.T) {
	name := rapid.StringMatching(`[A-Za-z0-9é][A-Za-z0-9é ,"-]{0,6}[A-Za-z0-9é]`)
	quote := func(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }
	rapid.Check(t, func(t *rapid.T) {
		var want []Grade
		text, seen := "look,grade,item,evaluator,bib\n", map[string]bool{}
		for range rapid.IntRange(1, 8).Draw(t, "grades") {
			g := Grade{Bib: name.Draw(t, "bib"), Evaluator: name.Draw(t, "evaluator"), Item: rapid.SampledFrom([]string{"arm", "hand, glove"}).Draw(t, "item"), Look: rapid.IntRange(1, 3).Draw(t, "look")}
			value := ""
			if g.YesNo = g.Item != "arm"; g.YesNo {
				g.Value = float64(rapid.IntRange(0, 1).Draw(t, "yes"))
				value = []string{"no", "yes"}[int(g.Value)]
			} else {
				g.Value = rapid.Float64Range(-1e9, 1e9).Draw(t, "grade")
				value = strconv.FormatFloat(g.Value, 'g', -1, 64)
			}
			if key := fmt.Sprint(g.Bib, "|", g.Evaluator, "|", g.Item, "|", g.Look); seen[key] {
				continue
			} else {
				seen[key] = true
			}
			want = append(want, g)
			text += fmt.Sprintf("%d,%s,%s,%s,%s\r\n", g.Look, value, quote(g.Item), quote(g.Evaluator), quote(g.Bib))
		}
		got, problems := ReadCSV("", []byte(text))
		if problems != nil {
			t.Fatalf("%+v in %s", problems, text)
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Fatal(d)
		}
	})
}

func TestFiguresComeBackToSevenDecimals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(-1e6, 1e6).Draw(t, "figure")
		text, err := json.Marshal(Figure(f))
		back, err2 := strconv.ParseFloat(string(text), 64)
		if err != nil || err2 != nil || math.Abs(back-f) > 0.51e-7 {
			t.Fatalf("%v as %s", f, text)
		}
		if _, decimals, ok := strings.Cut(string(text), "."); ok && len(decimals) > 7 || strings.Contains(string(text), "e") {
			t.Fatalf("%v as %s", f, text)
		}
	})
}

// TestEveryDrawFillsEveryPlace: the counts of ranks add up by player and by place.
func TestEveryDrawFillsEveryPlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var entries []entry
		for i := range rapid.IntRange(1, 6).Draw(t, "players") {
			entries = append(entries, entry{bib: strconv.Itoa(i), score: float64(rapid.IntRange(-3, 3).Draw(t, "score")),
				own: float64(rapid.IntRange(0, 3).Draw(t, "own")), pull: []float64{float64(rapid.IntRange(-1, 1).Draw(t, "pull"))}})
		}
		entries = ordered(entries)
		counts := countRanks(entries)
		for place := range entries {
			byPlayer, byPlace := int32(0), int32(0)
			for i := range entries {
				byPlayer += counts[place][i]
				byPlace += counts[i][place]
			}
			if byPlayer != draws || byPlace != draws {
				t.Fatalf("place %d: %d and %d draws", place, byPlayer, byPlace)
			}
		}
		last := 0
		for i, r := range ranks(entries, 1) {
			if r.low < 1 || r.high > len(entries) || r.low > r.high || r.best < 0 || r.best > 1 || r.tier < last || r.tier > last+1 {
				t.Fatalf("player %d: %+v", i, r)
			}
			last = r.tier
		}
	})
}

// TestSeverityTakesAShiftOff: a grade more from one evaluator is a grade
// more of that one's severity against the others', and nobody's adjusted grade
// against another's changes.
func TestSeverityTakesAShiftOff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, k := rapid.IntRange(2, 7).Draw(t, "players"), rapid.IntRange(2, 4).Draw(t, "evaluators")
		rows, more := make([][]float64, n), make([][]float64, n)
		for p := range rows {
			for e := range k {
				y, z := nan, nan
				if e == 0 || p == 0 || rapid.Bool().Draw(t, "seen") {
					y = float64(rapid.IntRange(0, 9).Draw(t, "grade"))
					if z = y; e == 1 {
						z++
					}
				}
				rows[p], more[p] = append(rows[p], y), append(more[p], z)
			}
		}
		a, b := fit(tableOf(rows)), fit(tableOf(more))
		sum := 0.0
		for e := range a.Severity {
			sum += a.Severity[e]
		}
		if math.Abs(sum) > 1e-9 {
			t.Fatalf("severities sum to %v", sum)
		}
		if d := (b.Severity[1] - b.Severity[0]) - (a.Severity[1] - a.Severity[0]); math.Abs(d-1) > 1e-9 {
			t.Fatalf("the severity moved by %v, want 1", d)
		}
		for p := range a.Adjusted {
			if d := (b.Adjusted[p] - b.Adjusted[0]) - (a.Adjusted[p] - a.Adjusted[0]); math.Abs(d) > 1e-9 {
				t.Fatalf("player %d moved by %v against the first", p, d)
			}
			if a.Free > 0 && math.Abs(a.AdjustedU(p)-b.AdjustedU(p)) > 1e-9 {
				t.Fatalf("player %d: u %v and %v", p, a.AdjustedU(p), b.AdjustedU(p))
			}
		}
	})
}

// TestAMirroredEvaluatorIsFlagged in panels that tell players apart, and the
// others are not, in nine of ten.
func TestAMirroredEvaluatorIsFlagged(t *testing.T) {
	found, others, all := 0, 0, 0
	for seed := range uint64(100) {
		s := simulate(design{players: 15, evaluators: 5, seenBy: 5, items: 1, severity: 0.5, scatter: 0.5}, seed)
		for i := range s.grades {
			if s.grades[i].Evaluator == "E3" {
				s.grades[i].Value = 10 - s.grades[i].Value
			}
		}
		tab := tables(s.grades)[0]
		for _, f := range flags(tab, fit(tab)) {
			if f.Evaluator == "E3" && f.Code == "upside-down" {
				found++
			} else {
				others++
			}
		}
		all++
	}
	if found < all*95/100 || others > all/10 {
		t.Errorf("of %d mirrored evaluators %d are flagged, and %d others", all, found, others)
	}
}

// TestPlannedLooksHelp: each planned look makes the adjusted grades surer, and no
// less than a look at random would.
func TestPlannedLooksHelp(t *testing.T) {
	s := simulate(design{players: 12, evaluators: 5, seenBy: 2, items: 1, severity: 1, scatter: 1}, 4)
	unsure := func(grades []Grade) float64 {
		f := fit(tables(grades)[0])
		sum := 0.0
		for p := range f.Players {
			sum += 1/f.looks[p] + f.shares[p].form(f.spread)
		}
		return sum
	}
	take := func(bib, evaluator string) []Grade {
		return append(slices.Clone(s.grades), Grade{Bib: bib, Evaluator: evaluator, Item: "item0", Look: 9, Value: 5})
	}
	planned := nextLooks(tables(s.grades)[0], 1, nil)[0]
	after, sum, n := unsure(take(planned.Bib, planned.Evaluator)), 0.0, 0.0
	for p := range 12 {
		for e := range 5 {
			sum, n = sum+unsure(take(strconv.Itoa(p), "E"+strconv.Itoa(e))), n+1
		}
	}
	if before := unsure(s.grades); after >= before || after > sum/n {
		t.Errorf("before %v, after the planned look %v, after one at random %v", before, after, sum/n)
	}
}

func TestSaysOfALargeSplitStaysShort(t *testing.T) {
	var grades []Grade
	for p := range 300 {
		grades = append(grades, Grade{Bib: strconv.Itoa(p), Evaluator: "E" + strconv.Itoa(p%2), Item: "arm"})
	}
	s, ok := split(tables(grades)[0], nil)
	if ok || len(s.Parts[0].Players) != 150 {
		t.Fatalf("%v %+v", ok, s)
	}
	if says := s.Says(); len(says) > 400 || !strings.Contains(says, "and 145 more") {
		t.Errorf("says %q", says)
	}
}

func TestTrainingLeans(t *testing.T) {
	pair := func(differences ...float64) []Grade {
		var out []Grade
		for i, d := range differences {
			bib := strconv.Itoa(i)
			out = append(out, Grade{Bib: bib, Evaluator: "I", Item: "arm", Value: 5}, Grade{Bib: bib, Evaluator: "E", Item: "arm", Value: 5 + d})
		}
		return out
	}
	for _, c := range []struct {
		name, says string
		grades     []Grade
		n, differ  int
	}{
		{"more", "gives 1.0 grades more", pair(1, 1, 1.2, 0.8), 4, 4},
		{"less", "gives 0.5 of a grade less", pair(-0.5, -0.4, -0.6, -0.5), 4, 4},
		{"neither", "no lean to either side shows", pair(1, -1, 0, 0), 4, 2},
		{"one only", "one observation graded by both; it differs by 2", pair(2), 1, 1},
		{"none in common", "no observation was graded by both", []Grade{{Bib: "1", Evaluator: "I", Item: "arm"}, {Bib: "2", Evaluator: "E", Item: "arm"}}, 0, 0},
	} {
		got := Training(c.grades, "I")
		if len(got) != 1 || got[0].N != c.n || len(got[0].Differs) != c.differ || !strings.Contains(got[0].Says, c.says) {
			t.Errorf("%s: %+v", c.name, got)
		}
		if _, err := json.Marshal(got); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if got := Training(append(pair(1, 1), Grade{Bib: "0", Evaluator: "E", Item: "arm", Look: 2, Value: 50}), "I")[0]; got.Gives.Value != 1 {
		t.Errorf("a second look takes part: %+v", got)
	}
}

func TestFlagsNeedAPanel(t *testing.T) {
	// One evaluator has nobody to be held against.
	tab := tableOf([][]float64{{1}, {1}, {1}, {1}, {1}, {1}})
	if got := flags(tab, fit(tab)); len(got) != 0 {
		t.Errorf("one evaluator: %+v", got)
	}
	// Where nobody tells players apart, nobody is flat.
	tab = tableOf([][]float64{{3, 3}, {3, 3}, {3, 3}, {3, 3}, {3, 3}})
	if got := flags(tab, fit(tab)); len(got) != 0 {
		t.Errorf("all the same: %+v", got)
	}
}

func TestSpreadOfAPanelIsPooled(t *testing.T) {
	tab := tableOf([][]float64{{1, 10}, {3, 10}, {nan, 13}})
	near(t, "spread", panelSpread(tab, fit(tab)), math.Sqrt((2.0+6.0)/3))
}

func TestProblemsOfGradesNameTheirPlace(t *testing.T) {
	grades := []Grade{
		{Bib: "1", Evaluator: "E", Item: "arm", Value: 1},
		{Bib: "", Evaluator: "E", Item: "arm"},
		{Bib: "2", Evaluator: "E", Item: "arm", YesNo: true},
		{Bib: "3", Evaluator: "E", Item: "arm", Value: 2},
		{Bib: "1", Evaluator: "E", Item: "arm", Look: 1, Value: 4},
	}
	_, problems := Tryout(grades, Options{})
	var got []string
	for _, p := range problems {
		got = append(got, p.Pointer+" "+p.Code)
	}
	if d := cmp.Diff([]string{"/grades/1 empty-field", "/grades/2 mixed-item", "/grades/4 graded-twice"}, got); d != "" {
		t.Error(d)
	}
	if !strings.Contains(problems[2].Wanted, "as grade 1") {
		t.Errorf("%+v", problems[2])
	}
}

// TestAnyPanelHasAnAnswer: whatever was seen by whom, how often, and on what kind
// of item, there is an answer that can be written down, with every player in it.
func TestAnyPanelHasAnAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var grades []Grade
		items := rapid.IntRange(1, 3).Draw(t, "items")
		for i := range items {
			yesNo, most := rapid.Bool().Draw(t, "yes-no"), rapid.IntRange(0, 3).Draw(t, "most")
			if yesNo {
				most = 1
			}
			for p := range rapid.IntRange(1, 6).Draw(t, "players") {
				for e := range 3 {
					for l := range rapid.SampledFrom([]int{0, 1, 1, 1, 2}).Draw(t, "looks") {
						grades = append(grades, Grade{Bib: strconv.Itoa(p), Evaluator: "E" + strconv.Itoa(e), Item: strconv.Itoa(i), Look: l + 1,
							YesNo: yesNo, Value: float64(rapid.IntRange(0, most).Draw(t, "grade"))})
					}
				}
			}
		}
		if len(grades) == 0 {
			return
		}
		r, problems := Tryout(grades, Options{Looks: 1})
		if problems != nil {
			t.Fatalf("%+v", problems)
		}
		if len(r.Splits) == 0 && len(r.Standing) != len(names(grades, bibOf)) {
			t.Fatalf("%d players stand", len(r.Standing))
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatal(err)
		}
		for _, s := range r.Standing {
			if !s.Score.Known() || !s.Rank.Known() || s.Tier < 1 {
				t.Fatalf("%+v", s)
			}
		}
	})
}

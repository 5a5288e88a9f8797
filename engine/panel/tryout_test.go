package panel

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func run(t testing.TB, grades []Grade, o Options) Result {
	t.Helper()
	r, problems := Tryout(grades, o)
	if problems != nil {
		t.Fatalf("problems: %+v", problems)
	}
	return r
}

// The catalyst experiment once more, as a tryout: the adjusted means change
// places with the raw ones.
func TestTryoutOfTheCatalysts(t *testing.T) {
	r := run(t, gradesOf("receiving", catalyst), Options{})
	if got := r.Agreement[0].Design; got != "incomplete" {
		t.Errorf("design %q", got)
	}
	if a := r.Agreement[0]; a.ICC21.Low.Known() || !a.ICC21.Value.Known() || a.Kappa.Known() {
		t.Errorf("agreement %+v", a)
	}
	var order []string
	for _, s := range r.Standing {
		order = append(order, s.Bib)
		if s.Bib == "1" {
			m := s.Items["receiving"]
			near(t, "adjusted", float64(m.Adjusted), 71.375)
			near(t, "raw", float64(m.Raw), 218.0/3)
			near(t, "u", float64(m.U), math.Sqrt(0.65*(1.0/12+9.0/32)))
		}
	}
	if d := cmp.Diff([]string{"4", "3", "2", "1"}, order); d != "" {
		t.Error(d)
	}
	near(t, "severity of the second batch", float64(r.Severity[1].Value), 3)
}

func TestScoreOfACompletePanelByHand(t *testing.T) {
	rows := judges
	r := run(t, gradesOf("arm", rows), Options{Best: 2})
	s := meanSquares(rows)
	player := (s.bms - s.ems) / s.k
	reliability := player / (player + s.ems/s.k)
	overall := 0.0
	for _, row := range rows {
		overall += mean(row) / 6
	}
	for _, got := range r.Standing {
		p := int(got.Bib[0] - '1')
		near(t, "score of "+got.Bib, float64(got.Score), reliability*(mean(rows[p])-overall)/math.Sqrt(player))
	}
	// In a complete panel the severities shift all alike; u is what the looks leave open.
	u := math.Sqrt(1 - reliability)
	var sum, chance float64
	for _, got := range r.Standing {
		if float64(got.U) < u-1e-12 {
			t.Errorf("u %v below %v", got.U, u)
		}
		sum += float64(got.Rank)
		chance += float64(got.ChanceBest)
	}
	near(t, "mean ranks add up", sum, 6*7/2)
	near(t, "chances of the best two add up", chance, 2)
}

func TestWeightsCountAndMayTurnAnItemRound(t *testing.T) {
	var grades []Grade
	for p := range 6 {
		for e := range 3 {
			noise := float64((p*e)%2) / 10
			grades = append(grades,
				Grade{Bib: fmt.Sprint(p), Evaluator: fmt.Sprint("E", e), Item: "arm", Value: float64(p) + noise},
				Grade{Bib: fmt.Sprint(p), Evaluator: fmt.Sprint("E", e), Item: "pop", Value: float64(p) - noise})
		}
	}
	first := func(w map[string]float64) string { return run(t, grades, Options{Weights: w}).Standing[0].Bib }
	for _, c := range []struct {
		weights map[string]float64
		want    string
	}{{nil, "5"}, {map[string]float64{"arm": 1}, "5"}, {map[string]float64{"pop": -1}, "0"}, {map[string]float64{"arm": 1, "pop": -2}, "0"}} {
		if got := first(c.weights); got != c.want {
			t.Errorf("weights %v: %s stands first, want %s", c.weights, got, c.want)
		}
	}
	notes := run(t, grades, Options{Weights: map[string]float64{"arm": 1}}).Notes
	if len(notes) != 1 || notes[0].Code != "no-weight" {
		t.Errorf("an item without weight is not told: %+v", notes)
	}
}

func TestAPlayerNotGradedOnAnItemIsMissingAndLessSure(t *testing.T) {
	var grades []Grade
	for p := range 8 {
		for e := range 3 {
			for i, item := range []string{"arm", "hands"} {
				if p != 7 || item == "arm" {
					v := float64((p*(3+2*i))%8) + float64((p+2*e+i)%3)/2
					grades = append(grades, Grade{Bib: fmt.Sprint(p), Evaluator: fmt.Sprint("E", e), Item: item, Value: v})
				}
			}
		}
	}
	r := run(t, grades, Options{})
	if len(r.Missing) != 1 || r.Missing[0].Bib != "7" || r.Missing[0].Item != "hands" {
		t.Fatalf("missing: %+v", r.Missing)
	}
	u := map[string]Figure{}
	for _, s := range r.Standing {
		u[s.Bib] = s.U
		if s.Bib == "7" && len(s.Items) != 1 {
			t.Errorf("items of 7: %+v", s.Items)
		}
	}
	if u["7"] < 1.5*u["0"] {
		t.Errorf("u of the player seen on one item %v, of another %v", u["7"], u["0"])
	}
}

func TestTiersEndWhereTheNextIsClearlyBehind(t *testing.T) {
	at := func(score float64) entry { return entry{score: score, own: 1} }
	// For a difference of two with variance 2, chance 0.05 is at 1.645·√2 = 2.326.
	got := tiers([]entry{at(6), at(5), at(3.68), at(3.67), at(1.4), at(1.3)})
	if d := cmp.Diff([]int{1, 1, 1, 2, 2, 3}, got); d != "" {
		t.Error(d)
	}
	// Errors that two share through their evaluators cancel between them.
	apart := []entry{{score: 2, own: 0.1, pull: []float64{2}}, {score: 1, own: 0.1, pull: []float64{-2}}}
	together := []entry{{score: 2, own: 0.1, pull: []float64{2}}, {score: 1, own: 0.1, pull: []float64{2}}}
	if tiers(apart)[1] != 1 || tiers(together)[1] != 2 {
		t.Errorf("tiers %v apart, %v together", tiers(apart), tiers(together))
	}
}

func TestRanksOfTwoAgreeWithTheNormal(t *testing.T) {
	a, b := entry{score: 0.7, own: 1}, entry{score: 0, own: 0.44}
	got := ranks([]entry{a, b}, 1)
	within(t, "chance of being best", got[0].best, beats(a, b), 0.005)
	within(t, "mean rank", got[0].mean, 2-beats(a, b), 0.005)
	near(t, "0.7 / 1.2", beats(a, b), 0.5*math.Erfc(-0.7/1.2/math.Sqrt2))
	if got[0].low != 1 || got[0].high != 2 {
		t.Errorf("rank from %d to %d", got[0].low, got[0].high)
	}
}

func TestPanelsThatTellLittle(t *testing.T) {
	single := []Grade{{Bib: "1", Evaluator: "E1", Item: "arm", Value: 3}, {Bib: "2", Evaluator: "E1", Item: "arm", Value: 5}}
	r := run(t, single, Options{})
	if len(r.Notes) != 1 || r.Notes[0].Code != "no-scatter" || r.Standing[0].Bib != "2" || r.Standing[0].U.Known() || r.Standing[0].RankLow != nil {
		t.Errorf("one look each: %+v %+v", r.Notes, r.Standing)
	}
	if r.Agreement[0].ICC21.Value.Known() || !strings.Contains(r.Agreement[0].Says, "one evaluator") {
		t.Errorf("one evaluator: %+v", r.Agreement[0])
	}
	level := run(t, gradesOf("arm", [][]float64{{1, 3}, {2, 2}, {3, 1}}), Options{})
	if len(level.Notes) != 1 || level.Notes[0].Code != "no-difference" {
		t.Errorf("no differences: %+v", level.Notes)
	}
	for _, s := range level.Standing {
		if s.Score != 0 || s.Tier != 1 || math.Abs(float64(s.Rank)-2) > 0.05 || *s.RankLow != 1 || *s.RankHigh != 3 {
			t.Errorf("no differences: %+v", s)
		}
	}
	same := run(t, gradesOf("arm", [][]float64{{4, 4}, {4, 4}}), Options{})
	if same.Standing[0].Score != 0 || same.Agreement[0].Alpha.Known() {
		t.Errorf("all the same: %+v %+v", same.Standing[0], same.Agreement[0])
	}
	perfect := run(t, gradesOf("arm", [][]float64{{1, 2}, {2, 3}, {4, 5}}), Options{})
	if s := perfect.Standing[0]; s.Bib != "3" || s.U > 1e-12 || s.Rank != 1 || s.Tier != 1 || perfect.Standing[2].Tier != 3 {
		t.Errorf("no scatter at all: %+v", perfect.Standing)
	}
}

func TestSecondLooksAreTold(t *testing.T) {
	grades := append(gradesOf("arm", judges), Grade{Bib: "1", Evaluator: "E2", Item: "arm", Look: 2, Value: 4})
	r := run(t, grades, Options{})
	if len(r.Notes) != 1 || r.Notes[0].Code != "second-looks" || !strings.Contains(r.Notes[0].Says, "E2 graded 1 player twice; the two grades differ by 2") {
		t.Errorf("notes: %+v", r.Notes)
	}
	if r.Agreement[0].Design != "complete" {
		t.Errorf("a second look makes the design %s", r.Agreement[0].Design)
	}
}

func TestUnconnectedTryoutHasNoStanding(t *testing.T) {
	r := run(t, gradesOf("arm", [][]float64{{1, 2, nan}, {2, 2, nan}, {nan, nan, 4}}), Options{})
	if len(r.Standing) != 0 || len(r.Splits) != 1 || len(r.Flags) != 1 || r.Flags[0].Code != "unconnected" || len(r.Looks) != 1 {
		t.Errorf("%+v", r)
	}
}

func TestWithoutAnEvaluator(t *testing.T) {
	// E3 alone holds player 4 up.
	rows := [][]float64{{9, 9, 8}, {7, 7, 6}, {5, 5, 5}, {4, 5, 12}, {2, 3, 1}, {1, 2, 2}}
	got := run(t, gradesOf("arm", rows), Options{Best: 2}).Without
	if len(got) != 3 {
		t.Fatalf("%d evaluators", len(got))
	}
	var third Without
	for _, w := range got {
		if w.Evaluator == "E3" {
			third = w
		}
	}
	if d := cmp.Diff([]Move{{"4", 2, 4}, {"2", 3, 2}}, third.Moves); d != "" {
		t.Errorf("%s\n%s", d, third.Says)
	}
	if !strings.Contains(third.Says, "the best 2 would change: 4 from place 2 to 4 and 2 from place 3 to 2") {
		t.Errorf("says %q", third.Says)
	}
	chain := run(t, gradesOf("arm", [][]float64{{1, 2, nan}, {2, 3, 3}, {nan, 4, 4}, {5, nan, nan}}), Options{}).Without
	for _, w := range chain {
		if d := cmp.Diff([]Move{{"4", 1, 3}, {"3", 2, 1}}, w.Moves); w.Evaluator == "E1" && d != "" {
			t.Errorf("player 4 is seen by E1 alone: %s", d)
		}
	}
	apart := run(t, gradesOf("arm", [][]float64{{1, 2, nan}, {2, 3, nan}, {nan, 4, 4}, {nan, 3, 5}}), Options{}).Without
	if !strings.Contains(apart[1].Says, "falls apart") || len(apart[1].Moves) != 0 {
		t.Errorf("without the evaluator who joins: %+v", apart[1])
	}
}

func TestOptionsAndGradesThatCannotBe(t *testing.T) {
	good := gradesOf("arm", judges)
	with := func(g Grade) []Grade { return append(append([]Grade(nil), good...), g) }
	for _, c := range []struct {
		name, code string
		grades     []Grade
		options    Options
	}{
		{"no grade", "no-grades", nil, Options{}},
		{"no player", "empty-field", with(Grade{Evaluator: "E1", Item: "arm"}), Options{}},
		{"no number", "bad-grade", with(Grade{Bib: "9", Evaluator: "E1", Item: "arm", Value: nan}), Options{}},
		{"half a yes", "bad-grade", with(Grade{Bib: "9", Evaluator: "E1", Item: "hand", Value: 0.5, YesNo: true}), Options{}},
		{"a look below zero", "bad-look", with(Grade{Bib: "9", Evaluator: "E1", Item: "arm", Look: -1}), Options{}},
		{"yes among numbers", "mixed-item", with(Grade{Bib: "9", Evaluator: "E1", Item: "arm", YesNo: true}), Options{}},
		{"twice", "graded-twice", with(good[0]), Options{}},
		{"a weight of nothing", "unknown-item", good, Options{Weights: map[string]float64{"arm": 1, "legs": 1}}},
		{"no number for a weight", "bad-weight", good, Options{Weights: map[string]float64{"arm": nan}}},
		{"all weights zero", "bad-weight", good, Options{Weights: map[string]float64{"arm": 0}}},
		{"more best places than players", "bad-best", good, Options{Best: 7}},
		{"looks below zero", "bad-looks", good, Options{Looks: -1}},
	} {
		r, problems := Tryout(c.grades, c.options)
		if len(problems) != 1 || problems[0].Code != c.code || problems[0].Found == "" || problems[0].Wanted == "" || r.Standing != nil {
			t.Errorf("%s: %+v", c.name, problems)
		}
	}
}

func TestATryoutTooLargeIsRefused(t *testing.T) {
	many := func(n int, of func(i int) Grade) []Grade {
		var out []Grade
		for i := range n {
			out = append(out, of(i))
		}
		return out
	}
	for found, grades := range map[string][]Grade{
		"1001 players":  many(1001, func(i int) Grade { return Grade{Bib: fmt.Sprint(i), Evaluator: "E", Item: "arm"} }),
		"41 evaluators": many(41, func(i int) Grade { return Grade{Bib: "1", Evaluator: fmt.Sprint(i), Item: "arm"} }),
		"420 pairs of an item and an evaluator": many(420, func(i int) Grade {
			return Grade{Bib: "1", Evaluator: fmt.Sprint(i % 20), Item: fmt.Sprint(i / 20)}
		}),
		"100001 grades": many(100_001, func(i int) Grade {
			return Grade{Bib: fmt.Sprint(i % 900), Evaluator: fmt.Sprint(i / 900 % 20), Item: "arm", Look: i}
		}),
	} {
		_, problems := Tryout(grades, Options{})
		if len(problems) != 1 || problems[0].Code != "too-large" || problems[0].Found != found {
			t.Errorf("%s: %+v", found, problems)
		}
	}
}

func TestOrderOfGradesDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var grades []Grade
		for p := range rapid.IntRange(1, 6).Draw(t, "players") {
			for e := range rapid.IntRange(1, 4).Draw(t, "evaluators") {
				for i := range rapid.IntRange(0, 2).Draw(t, "items") {
					grades = append(grades, Grade{Bib: fmt.Sprint(p), Evaluator: fmt.Sprint("E", e), Item: fmt.Sprint("i", i),
						Value: float64(rapid.IntRange(0, 5).Draw(t, "grade"))})
				}
			}
		}
		if len(grades) == 0 {
			return
		}
		a, _ := Tryout(grades, Options{Looks: 1})
		b, _ := Tryout(rapid.Permutation(grades).Draw(t, "order"), Options{Looks: 1})
		x, err := json.Marshal(a)
		y, err2 := json.Marshal(b)
		if err != nil || err2 != nil || string(x) != string(y) {
			t.Fatalf("%v %v\n%s\n%s", err, err2, x, y)
		}
		if strings.Contains(string(x), `":null`) {
			for _, list := range []string{"agreement", "severity", "standing", "missing", "flags", "notes", "looks", "without", "unconnected"} {
				if strings.Contains(string(x), `"`+list+`":null`) {
					t.Fatalf("%s is null in %s", list, x)
				}
			}
		}
	})
}

func TestFigures(t *testing.T) {
	for f, want := range map[Figure]string{0.12345678901: "0.1234568", -1e-9: "0", 3: "3", Figure(math.Inf(1)): "null", 1e6 + 0.5: "1000000.5"} {
		got, err := json.Marshal(f)
		if err != nil || string(got) != want {
			t.Errorf("%v: got %s (%v), want %s", float64(f), got, err, want)
		}
	}
	if got, _ := json.Marshal(Figure(nan)); string(got) != "null" {
		t.Errorf("unknown: %s", got)
	}
}

func TestAgreementInWords(t *testing.T) {
	if got := run(t, gradesOf("arm", judges), Options{}).Agreement[0].Says; got !=
		"two evaluators of the same player would differ by 2.8 grades on average, by 1.1 grades if both were equally strict; 29 % (2 to 76) of the spread of single grades is the players" {
		t.Errorf("got %q", got)
	}
	// 2σ/√π: of two normals with variance 1, the mean difference is 1.128.
	within(t, "mean difference", differ(1), 1.1283791671, 1e-9)
	if got := ofAGrade(0.8); got != "0.8 of a grade" {
		t.Errorf("got %q", got)
	}
}

func TestTraining(t *testing.T) {
	grades := gradesOf("arm", [][]float64{{3, 4}, {5, 5}, {2, 4}, {7, 8}, {6, 7}})
	for i := range grades {
		if grades[i].Evaluator == "E1" {
			grades[i].Evaluator = "instructor"
		}
	}
	got := Training(grades, "instructor")
	if len(got) != 1 || got[0].Evaluator != "E2" || got[0].N != 5 {
		t.Fatalf("%+v", got)
	}
	near(t, "gives", float64(got[0].Gives.Value), 1)
	near(t, "differ", float64(got[0].Differ), 1)
	// t(4) = 2.776 as handbooks print it; the differences 1 0 2 1 1 have s = √½.
	within(t, "low", float64(got[0].Gives.Low), 1-2.776*math.Sqrt(0.5/5), 5e-4)
	near(t, "agreement", float64(got[0].ICC21.Value), float64(CompleteICC([][]float64{{4, 3}, {5, 5}, {4, 2}, {8, 7}, {7, 6}}).TwoOne.Value))
	if d := cmp.Diff([]Difference{{"3", 4, 2}, {"1", 4, 3}, {"4", 8, 7}, {"5", 7, 6}}, got[0].Differs); d != "" {
		t.Error(d)
	}
	if !strings.Contains(got[0].Says, "gives 1.0 grades more") {
		t.Errorf("says %q", got[0].Says)
	}
	if got := Training(grades, "nobody"); len(got) != 0 {
		t.Errorf("no instructor: %+v", got)
	}
	for i := range grades {
		grades[i].YesNo, grades[i].Value = true, float64(i%3/2)
	}
	if got := Training(grades, "instructor")[0]; got.Says != "the same answer as the instructor in 2 of 5" || !got.Kappa.Known() {
		t.Errorf("yes-no: %+v", got)
	}
}

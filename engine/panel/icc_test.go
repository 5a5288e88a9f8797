package panel

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// near compares at 1e-9 relative (absolute around zero).
func near(t *testing.T, name string, got, want float64) {
	t.Helper()
	within(t, name, got, want, 1e-9*max(1, math.Abs(want)))
}

func within(t *testing.T, name string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.12g, want %.12g (± %.1g)", name, got, want, tolerance)
	}
}

// judges is table 2 of Shrout & Fleiss, Intraclass correlations: uses in
// assessing rater reliability, Psychological Bulletin 86 (1979): six targets
// (rows), four judges.
var judges = [][]float64{{9, 2, 5, 8}, {6, 1, 3, 2}, {8, 4, 6, 8}, {7, 1, 2, 6}, {10, 5, 6, 9}, {6, 2, 4, 7}}

// gradesOf turns rows of players and columns of evaluators into grades of one
// item; NaN is a look that was not taken.
func gradesOf(item string, rows [][]float64) []Grade {
	var out []Grade
	for p, row := range rows {
		for e, y := range row {
			if !math.IsNaN(y) {
				out = append(out, Grade{Bib: strconv.Itoa(p + 1), Evaluator: "E" + strconv.Itoa(e+1), Item: item, Value: y})
			}
		}
	}
	return out
}

func tableOf(rows [][]float64) table { return tables(gradesOf("item", rows))[0] }

func TestShroutFleiss1979(t *testing.T) {
	icc := CompleteICC(judges)
	// Printed: .29 .71 .62 .91; figures and intervals recomputed at full
	// precision, intervals as published software for the paper gives them.
	for _, c := range []struct {
		name             string
		got              Interval
		value, low, high float64
	}{
		{"ICC(2,1)", icc.TwoOne, 0.289763780, 0.0187865, 0.7610844},
		{"ICC(3,1)", icc.ThreeOne, 0.714840715, 0.3424648, 0.9458583},
		{"ICC(2,k)", icc.TwoK, 0.620050548, 4 * 0.0187865 / (1 + 3*0.0187865), 4 * 0.7610844 / (1 + 3*0.7610844)},
		{"ICC(3,k)", icc.ThreeK, 0.909315542, 4 * 0.3424648 / (1 + 3*0.3424648), 4 * 0.9458583 / (1 + 3*0.9458583)},
	} {
		near(t, c.name, float64(c.got.Value), c.value)
		within(t, c.name+" low", float64(c.got.Low), c.low, 5e-7)
		within(t, c.name+" high", float64(c.got.High), c.high, 5e-7)
	}
}

func TestICCOfClearCutTables(t *testing.T) {
	for _, c := range []struct {
		name     string
		rows     [][]float64
		two, one float64
	}{
		{"all alike in every grade", [][]float64{{1, 1}, {2, 2}, {3, 3}}, 1, 1},
		{"alike but for strictness", [][]float64{{1, 3}, {2, 4}, {3, 5}}, 1.0 / 3, 1},
		// Mean squares by hand: BMS 0, EMS 2, JMS 0.
		{"against each other", [][]float64{{1, 3}, {2, 2}, {3, 1}}, -3, -1},
	} {
		icc := CompleteICC(c.rows)
		near(t, c.name+" (2,1)", float64(icc.TwoOne.Value), c.two)
		near(t, c.name+" (3,1)", float64(icc.ThreeOne.Value), c.one)
	}
	// Players alike on average, grades not: Satterthwaite's degrees of freedom vanish.
	if icc := CompleteICC([][]float64{{1, 5, 3}, {3, 1, 5}}); icc.TwoOne.Value >= 0 || icc.TwoOne.Low.Known() || icc.TwoK.High.Known() {
		t.Errorf("no degrees of freedom: got %+v", icc.TwoOne)
	}
	if icc := CompleteICC([][]float64{{2, 2}, {2, 2}}); icc.TwoOne.Value.Known() {
		t.Errorf("no spread at all: got %v, want nothing known", icc.TwoOne.Value)
	}
}

func TestREMLEqualsAnalysisOfVariance(t *testing.T) {
	s := meanSquares(judges)
	c := reml(tableOf(judges))
	near(t, "player", c.Player, (s.bms-s.ems)/s.k)
	near(t, "evaluator", c.Evaluator, (s.jms-s.ems)/s.n)
	near(t, "residual", c.Residual, s.ems)

	rapid.Check(t, func(t *rapid.T) {
		n, k := rapid.IntRange(2, 12).Draw(t, "players"), rapid.IntRange(2, 6).Draw(t, "evaluators")
		rows := make([][]float64, n)
		for i := range rows {
			for range k {
				rows[i] = append(rows[i], float64(rapid.IntRange(0, 20).Draw(t, "grade")))
			}
		}
		s, c := meanSquares(rows), reml(tableOf(rows))
		if s.bms <= 1.01*s.ems || s.jms <= 1.01*s.ems || s.ems == 0 {
			return // a component of the analysis of variance is not above zero
		}
		for _, v := range [][2]float64{{c.Player, (s.bms - s.ems) / s.k}, {c.Evaluator, (s.jms - s.ems) / s.n}, {c.Residual, s.ems}} {
			if math.Abs(v[0]-v[1]) > 1e-8*max(s.bms, s.jms) {
				t.Fatalf("component %v, analysis of variance %v", v[0], v[1])
			}
		}
	})
}

func TestREMLKeepsComponentsFromZeroDown(t *testing.T) {
	// The players' mean square is below the error's: the component is 0, and
	// the rest is pooled as in a table without players.
	c := reml(tableOf([][]float64{{1, 3}, {2, 2}, {3, 1}}))
	near(t, "player", c.Player, 0)
	near(t, "evaluator", c.Evaluator, 0)
	near(t, "residual", c.Residual, 0.8) // variance of 1 3 2 2 3 1 with n − 1
}

func TestREMLOnAnIncompletePanel(t *testing.T) {
	// Against a direct maximum of the restricted likelihood over a grid around
	// the answer, written with the full covariance matrix.
	rows := [][]float64{{9, 2, nan, 8}, {6, nan, 3, 2}, {8, 4, 6, nan}, {nan, 1, 2, 6}, {10, 5, 6, 9}, {6, 2, nan, 7}}
	table := tableOf(rows)
	c := reml(table)
	best := restrictedLikelihood(table, c)
	for _, f := range []float64{0.97, 0.999, 1.001, 1.03} {
		for i, other := range []Components{{c.Player * f, c.Evaluator, c.Residual}, {c.Player, c.Evaluator * f, c.Residual}, {c.Player, c.Evaluator, c.Residual * f}} {
			if l := restrictedLikelihood(table, other); l >= best {
				t.Errorf("component %d × %v: likelihood %v, not below %v at the answer %+v", i, f, l, best, c)
			}
		}
	}
}

var nan = math.NaN()

// restrictedLikelihood is −½(log|V| + log 1ᵀV⁻¹1 + rᵀV⁻¹r), the textbook form
// (Harville 1977) without any shortcut.
func restrictedLikelihood(t table, c Components) float64 {
	n := len(t.looks)
	v := square(n)
	for i, a := range t.looks {
		for j, b := range t.looks {
			if a.player == b.player {
				v[i][j] += c.Player
			}
			if a.evaluator == b.evaluator {
				v[i][j] += c.Evaluator
			}
		}
		v[i][i] += c.Residual
	}
	inv, l, logDet := inverse(v), lower(v), 0.0
	ones, y := make([]float64, n), make([]float64, n)
	for i := range n {
		logDet += 2 * math.Log(l[i][i])
		ones[i], y[i] = 1, t.looks[i].grade
	}
	information := form(inv, ones)
	level := 0.0
	for i := range n {
		level += dot(inv[i], y) / information
	}
	for i := range y {
		y[i] -= level
	}
	return -0.5 * (logDet + math.Log(information) + form(inv, y))
}

func TestComponentICCEqualsTheCompleteOne(t *testing.T) {
	want, got := CompleteICC(judges), componentICC(reml(tableOf(judges)), 4)
	for _, c := range [][2]Interval{{got.TwoOne, want.TwoOne}, {got.ThreeOne, want.ThreeOne}, {got.TwoK, want.TwoK}, {got.ThreeK, want.ThreeK}} {
		near(t, "from components", float64(c[0].Value), float64(c[1].Value))
		if c[0].Low.Known() || c[0].High.Known() {
			t.Errorf("an interval is claimed where none is known: %v", c[0])
		}
	}
}

// TestEveryTableHasAnAnswer: whatever the grades, nothing panics and no interval
// ends the wrong way round.
func TestEveryTableHasAnAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, k := rapid.IntRange(2, 5).Draw(t, "players"), rapid.IntRange(2, 4).Draw(t, "evaluators")
		most := rapid.IntRange(0, 3).Draw(t, "most")
		rows := make([][]float64, n)
		for i := range rows {
			for range k {
				rows[i] = append(rows[i], float64(rapid.IntRange(0, most).Draw(t, "grade")))
			}
		}
		icc := CompleteICC(rows)
		for _, i := range []Interval{icc.TwoK, icc.ThreeK} {
			if i.Low > i.High || i.Low > i.Value && i.Value > 0 {
				t.Fatalf("%+v of %v", i, rows)
			}
		}
		for _, i := range []Interval{icc.TwoOne, icc.ThreeOne} {
			if i.Low > i.High || i.Value > 1+1e-12 || i.Low.Known() != i.High.Known() {
				t.Fatalf("%+v of %v", i, rows)
			}
		}
	})
}

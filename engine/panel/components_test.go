package panel

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestComponentsAreAtTheTop: on random incomplete panels no step of 1 % in any
// component, and none off zero, raises the restricted likelihood.
func TestComponentsAreAtTheTop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, k := rapid.IntRange(3, 6).Draw(t, "players"), rapid.IntRange(2, 4).Draw(t, "evaluators")
		rows := make([][]float64, n)
		for p := range rows {
			for e := range k {
				y := nan
				if e == 0 || p == 0 || rapid.IntRange(0, 2).Draw(t, "seen") > 0 {
					y = float64(rapid.IntRange(0, 9).Draw(t, "grade"))
				}
				rows[p] = append(rows[p], y)
			}
		}
		tab := tableOf(rows)
		if free(tab) < 2 {
			return
		}
		c := reml(tab)
		if c.Residual == 0 {
			return // nothing but player and evaluator: the likelihood has no top
		}
		top := restrictedLikelihood(tab, c)
		scale := c.Player + c.Evaluator + c.Residual
		for i := range 3 {
			for _, f := range []float64{0.99, 1.01} {
				v := c.list()
				if v[i] *= f; v[i] == 0 {
					v[i] = 0.01 * scale
				}
				if l := restrictedLikelihood(tab, Components{v[0], v[1], v[2]}); l > top+1e-7 {
					t.Fatalf("component %d × %v: %v above %v at %+v of %v", i, f, l, top, c, rows)
				}
			}
		}
	})
}

// TestComponentsAreRightOnAverage: the mean over simulated incomplete panels is
// the truth (players 1, evaluators 0.25, scatter 0.64) within four standard errors.
func TestComponentsAreRightOnAverage(t *testing.T) {
	const panels = 300
	var got [3][]float64
	for seed := range uint64(panels) {
		s := simulate(design{players: 40, evaluators: 8, seenBy: 4, items: 1, severity: 0.5, scatter: 0.8}, seed)
		for i, v := range reml(tables(s.grades)[0]).list() {
			got[i] = append(got[i], v)
		}
	}
	for i, want := range []float64{1, 0.25, 0.64} {
		within(t, []string{"players", "evaluators", "scatter"}[i], mean(got[i]), want, 4*deviation(got[i])/math.Sqrt(panels))
	}
}

// TestComponentsFollowTheUnit: grades on ten times the scale, a hundred times the variances.
func TestComponentsFollowTheUnit(t *testing.T) {
	scaled := make([][]float64, len(judges))
	for i, row := range judges {
		for _, y := range row {
			scaled[i] = append(scaled[i], 10*y-40)
		}
	}
	a, b := reml(tableOf(judges)).list(), reml(tableOf(scaled)).list()
	for i := range a {
		near(t, "component", b[i], 100*a[i])
	}
}

func TestComponentsOfPanelsWithNothingToSplit(t *testing.T) {
	if got := reml(tableOf([][]float64{{3, 3}, {3, 3}})); got != (Components{}) {
		t.Errorf("no spread: %+v", got)
	}
	got := reml(tableOf([][]float64{{1, 3}, {2, 4}, {6, 8}}))
	near(t, "scatter of an additive panel", got.Residual, 0)
	within(t, "its players", got.Player, 7, 1e-5) // the variance of 1 2 6 with n − 1
	within(t, "its evaluators", got.Evaluator, 2, 1e-5)
}

// TestSecondLooksSplitOffTheScatter: one evaluator, everyone twice: a one-way
// analysis of variance by hand.
func TestSecondLooksSplitOffTheScatter(t *testing.T) {
	var grades []Grade
	pairs := [][2]float64{{4, 5}, {7, 7}, {2, 4}, {9, 8}}
	all, between, inside := 0.0, 0.0, 0.0
	for p, pair := range pairs {
		for l, y := range pair {
			grades = append(grades, Grade{Bib: string(rune('a' + p)), Evaluator: "E", Item: "arm", Look: l + 1, Value: y})
			all += y / 8
		}
	}
	for _, pair := range pairs {
		m := (pair[0] + pair[1]) / 2
		between += 2 * sq(m-all) / 3
		inside += (sq(pair[0]-m) + sq(pair[1]-m)) / 4
	}
	got := reml(tables(grades)[0])
	within(t, "scatter", got.Residual, inside, 1e-6)
	within(t, "players", got.Player, (between-inside)/2, 1e-6)
}

package panel

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// twoItems is a panel of two items on which the players' true grades go together
// by rho; player 0 is graded on the first item alone.
func twoItems(rho float64, seed uint64) []Grade {
	r := rand.New(rand.NewPCG(seed, 2))
	var grades []Grade
	for p := range 40 {
		a := r.NormFloat64()
		b := rho*a + math.Sqrt(1-rho*rho)*r.NormFloat64()
		for e := range 3 {
			grades = append(grades, Grade{Bib: fmt.Sprint(p), Evaluator: fmt.Sprint("E", e), Item: "arm", Value: a + 0.5*r.NormFloat64()})
			if p > 0 {
				grades = append(grades, Grade{Bib: fmt.Sprint(p), Evaluator: fmt.Sprint("E", e), Item: "hands", Value: b + 0.5*r.NormFloat64()})
			}
		}
	}
	return grades
}

func itemsOf(grades []Grade) []item {
	var items []item
	offset := 0
	all := tables(grades)
	for _, t := range all {
		items = append(items, newItem(fit(t), componentsOf(t), 1/float64(len(all)), offset))
		offset += len(t.evaluators)
	}
	return items
}

// TestScoreIsTheNormalPosterior conditions the joint normal of (true sum, sum
// seen) by matrices, for a player seen on both items and one seen on one.
func TestScoreIsTheNormalPosterior(t *testing.T) {
	items := itemsOf(twoItems(0.6, 1))
	r := correlations(items)
	for _, bib := range []string{"0", "5"} {
		// Rows: true sum, then the sum seen with its noise.
		seen, sum, noise := []float64{0, 0}, 0.0, 0.0
		for i, it := range items {
			if p, ok := it.player[bib]; ok {
				seen[i] = 0.5
				sum += 0.5 * it.z(p)
				noise += 0.25 * it.fit.Variance / it.fit.looks[p] / sq(it.sd)
			}
		}
		weights := mat.NewDense(2, 2, []float64{0.5, 0.5, seen[0], seen[1]})
		truth := mat.NewDense(2, 2, []float64{r[0][0], r[0][1], r[1][0], r[1][1]})
		var half, joint mat.Dense
		half.Mul(weights, truth)
		joint.Mul(&half, weights.T())
		joint.Set(1, 1, joint.At(1, 1)+noise)
		got := scoreOf(bib, items, r)
		near(t, "score of "+bib, got.score, joint.At(0, 1)/joint.At(1, 1)*sum)
		near(t, "variance of "+bib, got.own, joint.At(0, 0)-sq(joint.At(0, 1))/joint.At(1, 1))
	}
}

// TestCorrelationIsThatOfTheTruth: scatter of the grades does not thin it out.
func TestCorrelationIsThatOfTheTruth(t *testing.T) {
	for _, rho := range []float64{-0.7, 0, 0.5, 0.9} {
		sum := 0.0
		const panels = 60
		for seed := range uint64(panels) {
			sum += correlations(itemsOf(twoItems(rho, seed)))[0][1]
		}
		within(t, fmt.Sprint("mean correlation, truth ", rho), sum/panels, rho, 0.05)
	}
}

// TestAKnownItemTellsOfAMissingOne: the more the items go together, the less
// unsure is a player seen on one of them.
func TestAKnownItemTellsOfAMissingOne(t *testing.T) {
	before := math.Inf(1)
	for _, rho := range []float64{0, 0.5, 0.95} {
		got := scores(itemsOf(twoItems(rho, 3)), []string{"0"})[0].own
		if got >= before {
			t.Errorf("items together by %v: variance %v, not below %v", rho, got, before)
		}
		before = got
	}
}

// TestPullIsTheUncertaintyOfTheSeverities: pull · pull is wᵀ Cov(severities) w of
// the player's mix of evaluators, and in a complete panel the same for all.
func TestPullIsTheUncertaintyOfTheSeverities(t *testing.T) {
	items := itemsOf(gradesOf("arm", [][]float64{{9, 2, nan, 8}, {6, nan, 3, 2}, {8, 4, 6, nan}, {nan, 1, 2, 6}, {10, 5, 6, 9}}))
	it := items[0]
	entries := scores(items, it.fit.Players)
	pulls(entries, items)
	for i, e := range entries {
		want := sq(e.reliability/it.sd) * it.fit.Variance * it.fit.shares[i].form(it.fit.spread)
		near(t, "pull of "+e.bib, dot(e.pull, e.pull), want)
		near(t, "u of "+e.bib, e.u(), math.Sqrt(e.own+want))
	}
	items = itemsOf(gradesOf("arm", judges))
	entries = scores(items, items[0].fit.Players)
	pulls(entries, items)
	for _, e := range entries {
		for c := range e.pull {
			near(t, "in a complete panel, pull", e.pull[c], entries[0].pull[c])
		}
	}
}

func TestItemsThatTellNothingDoNotCount(t *testing.T) {
	grades := append(gradesOf("arm", judges), gradesOf("level", [][]float64{{1, 3}, {2, 2}, {3, 1}, {1, 3}, {2, 2}, {3, 1}})...)
	alone, both := run(t, gradesOf("arm", judges), Options{Weights: map[string]float64{"arm": 1}}), run(t, grades, Options{Weights: map[string]float64{"arm": 1, "level": 5}})
	for i := range alone.Standing {
		if alone.Standing[i].Bib != both.Standing[i].Bib || alone.Standing[i].Score != both.Standing[i].Score {
			t.Errorf("place %d: %+v and %+v", i, alone.Standing[i], both.Standing[i])
		}
	}
}

// TestWeightsScaleTheScore: twice the weights, twice score and u, the same ranks.
func TestWeightsScaleTheScore(t *testing.T) {
	one := run(t, gradesOf("arm", judges), Options{Weights: map[string]float64{"arm": 1}})
	two := run(t, gradesOf("arm", judges), Options{Weights: map[string]float64{"arm": 2}})
	for i, s := range one.Standing {
		d := two.Standing[i]
		near(t, "score", float64(d.Score), 2*float64(s.Score))
		near(t, "u", float64(d.U), 2*float64(s.U))
		if d.Bib != s.Bib || d.Tier != s.Tier {
			t.Errorf("place %d: %+v and %+v", i, s, d)
		}
		within(t, "rank", float64(d.Rank), float64(s.Rank), 1e-3)
	}
}

func TestRankOfCounts(t *testing.T) {
	for _, c := range []struct {
		name   string
		counts []int32
		best   int
		want   rank
	}{
		{"always second", []int32{0, draws, 0}, 1, rank{mean: 2, low: 2, high: 2, best: 0}},
		{"half and half", []int32{draws / 2, draws / 2}, 1, rank{mean: 1.5, low: 1, high: 2, best: 0.5}},
		// 2.5 % of 4,096 is 102.4: 102 draws in front are left out, 103 are not.
		{"a tail that may be left out", []int32{102, draws - 102, 0}, 2, rank{mean: 2 - 102.0/draws, low: 2, high: 2, best: 1}},
		{"a tail that may not", []int32{103, draws - 103, 0}, 1, rank{mean: 2 - 103.0/draws, low: 1, high: 2, best: 103.0 / draws}},
		{"a tail behind that may be left out", []int32{0, draws - 102, 102}, 1, rank{mean: 2 + 102.0/draws, low: 2, high: 2}},
		{"a tail behind that may not", []int32{0, draws - 103, 103}, 1, rank{mean: 2 + 103.0/draws, low: 2, high: 3}},
	} {
		got := rankOf(c.counts, c.best)
		if got.low != c.want.low || got.high != c.want.high || math.Abs(got.mean-c.want.mean) > 1e-12 || math.Abs(got.best-c.want.best) > 1e-12 {
			t.Errorf("%s: got %+v, want %+v", c.name, got, c.want)
		}
	}
}

// TestMeanRankIsOnePlusTheChancesOfBeingBeaten, player by player, for scores that
// share errors.
func TestMeanRankIsOnePlusTheChancesOfBeingBeaten(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	var entries []entry
	for i := range 30 {
		entries = append(entries, entry{bib: fmt.Sprint(i), score: 2 - float64(i)/8, own: 0.05 + 0.2*r.Float64(), pull: []float64{0.3 * r.NormFloat64(), 0.3 * r.NormFloat64()}})
	}
	for i, got := range ranks(entries, 3) {
		want := 1.0
		for j := range entries {
			if j != i {
				want += beats(entries[j], entries[i])
			}
		}
		within(t, "mean rank of "+entries[i].bib, got.mean, want, 0.1)
	}
}

func TestMovesAreThoseThatMatter(t *testing.T) {
	order := func(bibs ...string) []entry {
		var out []entry
		for _, b := range bibs {
			out = append(out, entry{bib: b})
		}
		return out
	}
	for _, c := range []struct {
		name   string
		after  []entry
		moves  []Move
		phrase string
	}{
		{"nothing", order("a", "b", "c", "d"), []Move{}, "without E1 the order stays"},
		{"within the best", order("b", "a", "c", "d"), []Move{{"a", 1, 2}}, "without E1 the best 2 stay; the largest move is a from place 1 to 2"},
		{"behind the best", order("a", "b", "d", "c"), []Move{{"c", 3, 4}}, "without E1 the best 2 stay; the largest move is c from place 3 to 4"},
		{"into the best", order("a", "d", "b", "c"), []Move{{"b", 2, 3}, {"d", 4, 2}}, "without E1 the best 2 would change: b from place 2 to 3 and d from place 4 to 2"},
	} {
		got := moves(order("a", "b", "c", "d"), c.after, 2)
		if fmt.Sprint(got) != fmt.Sprint(c.moves) || movesSay("E1", got, 2) != c.phrase {
			t.Errorf("%s: %v, %q", c.name, got, movesSay("E1", got, 2))
		}
	}
}

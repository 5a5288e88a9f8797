package panel

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// A simulated tryout: normal players, severities and scatter, of one or more
// items; each player is seen by some of the evaluators, every draw fixed by the
// seed.
type simulated struct {
	grades     []Grade
	truth      map[string]float64 // sum of the player's true values over the items, weighted alike
	severities map[string]float64 // evaluators' true effects, summing to zero, by item and name
}

type design struct {
	players, evaluators, seenBy, items int
	severity, scatter                  float64 // standard deviations; the players' is 1
}

func simulate(d design, seed uint64) simulated {
	r := rand.New(rand.NewPCG(seed, 1))
	s := simulated{truth: map[string]float64{}, severities: map[string]float64{}}
	seers := make([][]int, d.players)
	for p := range seers {
		seers[p] = r.Perm(d.evaluators)[:d.seenBy]
	}
	for i := range d.items {
		item := "item" + strconv.Itoa(i)
		effects := make([]float64, d.evaluators)
		for e := range effects {
			effects[e] = d.severity * r.NormFloat64()
		}
		level := mean(effects)
		for e := range effects {
			s.severities[item+"E"+strconv.Itoa(e)] = effects[e] - level
		}
		for p := range d.players {
			bib, ability := strconv.Itoa(p), r.NormFloat64()
			s.truth[bib] += ability / float64(d.items)
			for _, e := range seers[p] {
				s.grades = append(s.grades, Grade{Bib: bib, Evaluator: "E" + strconv.Itoa(e), Item: item, Value: 5 + ability + effects[e] + d.scatter*r.NormFloat64()})
			}
		}
	}
	return s
}

// trueRank is 1 for the player with the highest truth.
func (s simulated) trueRank() map[string]int {
	var bibs []string
	for b := range s.truth {
		bibs = append(bibs, b)
	}
	slices.SortFunc(bibs, func(a, b string) int { return cmp.Compare(s.truth[b], s.truth[a]) })
	rank := map[string]int{}
	for i, b := range bibs {
		rank[b] = i + 1
	}
	return rank
}

// designs are the panels that are simulated.
var designs = []design{
	{players: 60, evaluators: 6, seenBy: 3, items: 1, severity: 0.8, scatter: 0.8},
	{players: 60, evaluators: 8, seenBy: 4, items: 2, severity: 1, scatter: 1},
	{players: 60, evaluators: 4, seenBy: 4, items: 1, severity: 0.5, scatter: 1},
	{players: 80, evaluators: 5, seenBy: 2, items: 1, severity: 0.6, scatter: 0.7},
}

// TestIntervalsHoldWhatTheyPromise: over simulated panels, the 95 % intervals of
// severity and of rank contain the truth in 93 to 97 of 100.
func TestIntervalsHoldWhatTheyPromise(t *testing.T) {
	var severity, ranks tally
	for _, d := range designs {
		for seed := range uint64(40) {
			s := simulate(d, seed)
			r := run(t, s.grades, Options{})
			free := float64(len(s.grades)/d.items - d.players - d.evaluators + 1)
			t95 := distuv.StudentsT{Sigma: 1, Nu: free}.Quantile(0.975)
			for _, v := range r.Severity {
				severity.count(math.Abs(float64(v.Value)-s.severities[v.Item+v.Evaluator]) <= t95*float64(v.U))
			}
			at := s.trueRank()
			for _, p := range r.Standing {
				ranks.count(*p.RankLow <= at[p.Bib] && at[p.Bib] <= *p.RankHigh)
			}
		}
	}
	severity.holds(t, "severity")
	ranks.holds(t, "rank")
}

// TestTiersHoldWhatTheyPromise: of the players who open a new tier, 93 to 97 of
// 100 are in truth behind the first of the tier before; and what the chances of
// all others against their tier's first add up to is what came true.
func TestTiersHoldWhatTheyPromise(t *testing.T) {
	var opening tally
	claimed, ahead, n := 0.0, 0.0, 0.0
	for _, d := range designs {
		for seed := range uint64(150) {
			s := simulate(d, seed)
			var items []item
			for i, one := range tables(s.grades) {
				items = append(items, newItem(fit(one), componentsOf(one), 1/float64(d.items), i*d.evaluators))
			}
			order := ordered(scores(items, names(s.grades, bibOf)))
			pulls(order, items)
			first := 0
			tier := tiers(order)
			for i := range order {
				better := s.truth[order[i].bib] > s.truth[order[first].bib]
				switch {
				case i == 0:
				case tier[i] > tier[i-1]:
					opening.count(!better)
					first = i
				default:
					claimed, n = claimed+beats(order[i], order[first]), n+1
					if better {
						ahead++
					}
				}
			}
		}
	}
	opening.holds(t, "a new tier")
	within(t, "share of players ahead of their tier's first", ahead/n, claimed/n, 0.01)
}

type tally struct{ hits, n float64 }

func (s *tally) count(hit bool) {
	s.n++
	if hit {
		s.hits++
	}
}

func (s tally) of() float64 { return s.hits / s.n }

func (s tally) holds(t *testing.T, name string) {
	t.Helper()
	if s.of() < 0.93 || s.of() > 0.97 {
		t.Errorf("%s: true in %.3f of %v, want 0.93 to 0.97", name, s.of(), s.n)
	}
}

// TestAdjustedBeatsRaw: where strict and mild evaluators saw different players,
// the standing is nearer to the truth than raw means are, in at least 95 of 100
// panels; where everyone saw everyone, it is the same order.
func TestAdjustedBeatsRaw(t *testing.T) {
	better := 0
	for seed := range uint64(100) {
		s := simulate(design{players: 60, evaluators: 6, seenBy: 2, items: 1, severity: 1, scatter: 0.5}, seed)
		if adjusted, raw := s.nearness(t); adjusted > raw {
			better++
		}
	}
	if better < 95 {
		t.Errorf("the standing beats the raw means in %d of 100", better)
	}
	for seed := range uint64(10) {
		s := simulate(design{players: 30, evaluators: 4, seenBy: 4, items: 1, severity: 1, scatter: 0.5}, seed)
		if adjusted, raw := s.nearness(t); math.Abs(adjusted-raw) > 1e-12 {
			t.Errorf("everyone saw everyone: %v adjusted, %v raw", adjusted, raw)
		}
	}
}

// nearness is the rank correlation with the truth, of the standing and of raw means.
func (s simulated) nearness(t *testing.T) (adjusted, raw float64) {
	at := s.trueRank()
	standing := run(t, s.grades, Options{}).Standing
	var place, truth, rawMean []float64
	for i, p := range standing {
		place, truth, rawMean = append(place, float64(i)), append(truth, float64(at[p.Bib])), append(rawMean, -float64(p.Items["item0"].Raw))
	}
	order := make([]int, len(rawMean))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rawMean[a], rawMean[b]) })
	rawPlace := make([]float64, len(order))
	for i, p := range order {
		rawPlace[p] = float64(i)
	}
	return correlation(place, truth), correlation(rawPlace, truth)
}

// BenchmarkTryout shows how time and memory grow with the tryout: 12 evaluators,
// 6 items; 300 players seen by all but one make about 20,000 grades.
func BenchmarkTryout(b *testing.B) {
	for _, players := range []int{75, 150, 300} {
		s := simulate(design{players: players, evaluators: 12, seenBy: 11, items: 6, severity: 1, scatter: 1}, 1)
		b.Run(strconv.Itoa(len(s.grades))+"grades", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				run(b, s.grades, Options{Best: 12})
			}
		})
	}
}

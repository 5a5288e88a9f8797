package cause

import (
	"testing"

	"pgregory.net/rapid"
)

func forwardOf(t fataler, weight float64, held ...HeldReading) float64 {
	t.Helper()
	ev := unseen(2)
	ev.Held = held
	return mustInfer(t, Spec{
		Background: []float64{0.2, 0.1},
		Pairs:      []Pair{{0, 1, weight, 0.7}},
	}, ev).Forward()[0]
}

// Posterior weight by Bayes' rule, worked by hand. A held rep misleads one time
// in ten.
func TestForward(t *testing.T) {
	for _, c := range []struct {
		name   string
		weight float64
		held   []HeldReading
		want   float64
	}{
		{"no held rep", 0.65, nil, 0.65},
		{"second held, first stays", 0.5, []HeldReading{{HeldFirst: false, Chance: 1}}, 0.9},
		{"second held, first goes", 0.5, []HeldReading{{HeldFirst: false, Chance: 0}}, 0.1},
		{"first held, second stays", 0.5, []HeldReading{{HeldFirst: true, Chance: 1}}, 0.1},
		{"first held, second goes", 0.5, []HeldReading{{HeldFirst: true, Chance: 0}}, 0.9},
		{"an even chance tells nothing", 0.65, []HeldReading{{HeldFirst: true, Chance: 0.5}}, 0.65},
		{"prior and reading", 0.65, []HeldReading{{Chance: 0.8}}, 0.65 * 0.74 / (0.65*0.74 + 0.35*0.26)},
		{"two readings", 0.5, []HeldReading{{Chance: 1}, {Chance: 1}}, 0.81 / 0.82},
		{"readings that cancel", 0.65, []HeldReading{{Chance: 1}, {HeldFirst: true, Chance: 1}}, 0.65},
		{"settled beforehand", 1, []HeldReading{{Chance: 0}}, 1},
		{"settled the other way", 0, []HeldReading{{Chance: 1}}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			near(t, "forward", forwardOf(t, c.weight, c.held...), c.want, 1e-12)
		})
	}
}

// However many readings there are, the weight stays a chance, and readings
// against a settled mind can bring it back.
func TestForwardOfManyReadings(t *testing.T) {
	var held []HeldReading
	for range 1000 {
		held = append(held, HeldReading{Chance: 1})
	}
	near(t, "all for", forwardOf(t, 0.5, held...), 1, 1e-12)
	for range 1000 {
		held = append(held, HeldReading{Chance: 0})
	}
	near(t, "as many against", forwardOf(t, 0.5, held...), 0.5, 1e-9)
}

// Swapping First and Second, and with them the weight and who was held, is the
// same pair.
func TestForwardMirrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weight := drawChance(t, "weight")
		h := HeldReading{HeldFirst: rapid.Bool().Draw(t, "first"), Chance: drawChance(t, "chance")}
		mirrored := HeldReading{HeldFirst: !h.HeldFirst, Chance: h.Chance}
		near(t, "mirrored", forwardOf(t, 1-weight, mirrored), 1-forwardOf(t, weight, h), 1e-12)
	})
}

// What was seen in free reps leaves the directions alone, and each pair's
// readings leave the other pairs alone.
func TestOnlyHeldReadingsOfThePairTellItsDirection(t *testing.T) {
	s := Spec{
		Background: []float64{0.3, 0, 0.2, 0.1},
		Pairs:      []Pair{{0, 1, 0.65, 0.7}, {2, 3, 0.4, 0.5}},
	}
	ev := &Evidence{
		Ratio: []float64{1e6, 1e6, 1e-6, 1e6},
		Held:  []HeldReading{{Pair: 1, Chance: 0.7}},
	}
	w := mustInfer(t, s, ev)
	near(t, "first pair", w.Forward()[0], 0.65, 0)
	near(t, "second pair", w.Forward()[1], 0.4*0.66/(0.4*0.66+0.6*0.34), 1e-12)
}

// With a settled weight a pair is a plain link.
func TestSettledPairIsALink(t *testing.T) {
	background := []float64{0.3, 0.1}
	ev := &Evidence{Ratio: []float64{2, 5}}
	link := mustInfer(t, Spec{Background: background, Links: []Link{{0, 1, 0.6}}}, ev)
	for _, pair := range []Pair{{0, 1, 1, 0.6}, {1, 0, 0, 0.6}} {
		w := mustInfer(t, Spec{Background: background, Pairs: []Pair{pair}}, ev)
		for i := range background {
			near(t, "in context", w.InContext()[i], link.InContext()[i], 0)
			near(t, "kept", w.Kept()[i], link.Kept()[i], 0)
		}
	}
}

// A direction without weight is no obstacle, though the evidence is impossible
// in it: node 1 has no background, so only node 0 can bring it about.
func TestDirectionWithoutWeightIsLeftOut(t *testing.T) {
	w := mustInfer(t, Spec{
		Background: []float64{0.3, 0},
		Pairs:      []Pair{{0, 1, 1, 0.6}},
	}, &Evidence{Ratio: []float64{1, 1}, Hard: []int8{0, 1}})
	near(t, "the only cause", w.InContext()[0], 1, 1e-12)
	near(t, "its share", w.Edges()[0].Share, 1, 1e-12)
}

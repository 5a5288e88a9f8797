package cause

import (
	"errors"
	"math"
	"testing"
)

func TestEvidenceThatDoesNotFit(t *testing.T) {
	w := mustCompile(t, Spec{
		Background: []float64{0.1, 0.1},
		Pairs:      []Pair{{0, 1, 0.5, 0.5}},
	}).NewWork()
	ones := []float64{1, 1}
	for _, c := range []struct {
		ev   Evidence
		want string
	}{
		{Evidence{}, "cause: evidence has 0 ratios, want 2"},
		{Evidence{Ratio: ones, Absent: []bool{true}}, "cause: evidence has 1 marks of absence, want none or 2"},
		{Evidence{Ratio: ones, Hard: []int8{1, 0, 0}}, "cause: evidence has 3 hard findings, want none or 2"},
		{Evidence{Ratio: []float64{1, -1}}, "cause: ratio of node 1 is -1, want 0 or more"},
		{Evidence{Ratio: []float64{math.NaN(), 1}}, "cause: ratio of node 0 is NaN, want 0 or more"},
		{Evidence{Ratio: ones, Held: []HeldReading{{Pair: 1}}}, "cause: held reading 0 is of pair 1, want one from 0 to 0"},
		{Evidence{Ratio: ones, Held: []HeldReading{{Pair: -1}}}, "cause: held reading 0 is of pair -1, want one from 0 to 0"},
		{Evidence{Ratio: ones, Held: []HeldReading{{Chance: 1.1}}}, "cause: held reading 0 has chance 1.1, want a number in [0, 1]"},
	} {
		if err := w.Infer(&c.ev); err == nil || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
}

// A node by itself shows Bayes' rule in odds: prior odds times the ratio, and
// where the ratio is clipped.
func TestRatioOfOneNode(t *testing.T) {
	for _, c := range []struct{ ratio, odds float64 }{
		{1, 0.25},
		{4, 1},
		{0.5, 0.125},
		{0, 0.25e-6},
		{1e-9, 0.25e-6},
		{1e9, 0.25e6},
		{math.Inf(1), 0.25e6},
	} {
		w := mustInfer(t, Spec{Background: []float64{0.2}}, &Evidence{Ratio: []float64{c.ratio}})
		near(t, "P", w.InContext()[0], c.odds/(1+c.odds), 1e-12)
	}
}

// 0 → 1 → 2, strengths 0.5, backgrounds 0.2, 0.1, 0.1. Worked by hand.
func TestAbsentAndHardDiffer(t *testing.T) {
	s := Spec{Background: []float64{0.2, 0.1, 0.1}, Links: []Link{{0, 1, 0.5}, {1, 2, 0.5}}}
	for _, c := range []struct {
		name string
		ev   Evidence
		want [3]float64
	}{
		// P(1) = 0.2·0.55 + 0.8·0.1; P(2) = 0.1 + 0.9·0.5·P(1).
		{"nothing known", Evidence{}, [3]float64{0.2, 0.19, 0.1855}},
		// Does not apply: 0 keeps its prior, 2 its background.
		{"1 does not apply", Evidence{Absent: []bool{false, true, false}}, [3]float64{0.2, 0, 0.1}},
		// A reading on what does not apply counts for nothing.
		{"1 does not apply, yet read", Evidence{Ratio: []float64{1, 50, 1}, Absent: []bool{false, true, false}}, [3]float64{0.2, 0, 0.1}},
		// Surely absent speaks against 0: 0.2·0.45/(0.2·0.45 + 0.8·0.9).
		{"1 surely absent", Evidence{Hard: []int8{0, -1, 0}}, [3]float64{0.09 / 0.81, 0, 0.1}},
		// Surely present speaks for 0: 0.2·0.55/0.19.
		{"1 surely present", Evidence{Hard: []int8{0, 1, 0}}, [3]float64{0.11 / 0.19, 1, 0.55}},
		// Explained from below: P(1 | 2) = 0.19·0.55/0.1855.
		{"2 surely present", Evidence{Hard: []int8{0, 0, 1}}, [3]float64{
			(0.2*(0.55*0.55+0.45*0.1) + 0) / 0.1855, 0.19 * 0.55 / 0.1855, 1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.ev.Ratio == nil {
				c.ev.Ratio = []float64{1, 1, 1}
			}
			w := mustInfer(t, s, &c.ev)
			for i, want := range c.want {
				near(t, "P", w.InContext()[i], want, 1e-12)
			}
			if w.InContext()[1] == 0 {
				near(t, "a node surely absent keeps all", w.Kept()[1], 1, 0)
				near(t, "and hands nothing on", w.Edges()[0].Share, 0, 0)
				near(t, "nor gets any", w.Edges()[1].Share, 0, 0)
			}
		})
	}
}

// Four hundred confident readings for and as many against one node cancel
// exactly, though their product is far below the smallest float.
func TestManyOpposedReadings(t *testing.T) {
	const each = 400
	s := Spec{Background: []float64{0.3}}
	ev := &Evidence{Ratio: []float64{1}}
	for i := range 2 * each {
		s.Background = append(s.Background, 0.2)
		s.Links = append(s.Links, Link{0, i + 1, 0.75}) // P(effect | cause) 0.8
		ev.Ratio = append(ev.Ratio, []float64{1e6, 1e-6}[i%2])
	}
	w := mustInfer(t, s, ev)
	near(t, "P(cause)", w.InContext()[0], 0.3, 1e-9)
}

// All readings on one side: the posterior runs to its end without NaN, and a
// what-if against all of them is still answered.
func TestManyAgreedReadings(t *testing.T) {
	s := Spec{Background: []float64{0.3}}
	ev := &Evidence{Ratio: []float64{1}}
	for i := range 400 {
		s.Background = append(s.Background, 0)
		s.Links = append(s.Links, Link{0, i + 1, 1})
		ev.Ratio = append(ev.Ratio, 1e-6)
	}
	w := mustInfer(t, s, ev)
	near(t, "P(cause), all effects sound", w.InContext()[0], 0, 1e-300)
	near(t, "kept", w.Kept()[1], 1, 0)
	ev.Hard = make([]int8, 401)
	ev.Hard[0] = 1
	if err := w.Infer(ev); err != nil {
		t.Fatal(err)
	}
	for i, p := range w.InContext() {
		near(t, "P given the cause", p, 1, 0)
		if i > 0 {
			near(t, "share of the cause", w.Edges()[i-1].Share, 1, 1e-12)
		}
	}
}

// A sure cause (node 0) whose sure effect (2) has fifty sure effects, all read as
// sound, is less likely than the smallest float: an error that names an effect,
// never NaN or Inf. Node 1 and the last two keep what is known of 0 apart from
// what the effects say, until the two meet as messages.
func TestEvidenceTooUnlikelyForAFloat(t *testing.T) {
	for effects := 40; effects <= 60; effects++ {
		s := Spec{Background: []float64{1, 0, 0}, Links: []Link{{0, 1, 1}, {0, 2, 1}}}
		for i := range effects {
			s.Background = append(s.Background, 0)
			s.Links = append(s.Links, Link{2, i + 3, 1})
		}
		last := len(s.Background)
		s.Background = append(s.Background, 0, 0)
		s.Links = append(s.Links, Link{0, last, 1}, Link{last, last + 1, 1})
		ev := unseen(last + 2)
		for i := range effects {
			ev.Ratio[i+3] = 1e-6
		}
		w := mustCompile(t, s).NewWork()
		err := w.Infer(ev)
		if effects > 48 { // 1e-6 to this power is below the 1e-290 that is kept
			var impossible *ImpossibleError
			if !errors.As(err, &impossible) || impossible.Node < 3 {
				t.Errorf("%d effects: got %v, want an ImpossibleError that names an effect", effects, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%d effects: %v", effects, err)
			continue
		}
		for i, p := range w.InContext() {
			near(t, "P of what is sure", p, 1, 0)
			near(t, "kept", w.Kept()[i], []float64{1, 0}[min(i, 1)], 1e-12)
		}
	}
}

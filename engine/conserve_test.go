package engine

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rootcue/engine/observation"
	"rootcue/engine/rubric"
	"rootcue/rubrics"
)

// TestCreditIsConserved: what all faults give back adds up to the parts, and
// what they explain to the chances, on the shipped rubric with anything seen.
func TestCreditIsConserved(t *testing.T) {
	src, err := rubrics.Files.ReadFile("throw-to-second.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, problems := rubric.Parse("throw-to-second.yaml", src, nil)
	if r == nil {
		t.Fatal(problems)
	}
	rapid.Check(t, func(t *rapid.T) {
		o := drawShipped(t, r)
		j, problems := newJudge(Request{Rubric: r, Observation: o})
		if j == nil {
			t.Fatalf("%v", problems)
		}
		defer j.release()
		if problems := j.steps(); len(problems) > 0 {
			t.Fatalf("%v", problems)
		}
		parts, chances, recovers, explains := 0.0, 0.0, 0.0, 0.0
		for i := range j.faults {
			parts += j.secs[i]
			recovers += j.recovers[i]
			explains += j.explains[i]
			if j.faults[i].seen() {
				chances += j.faults[i].chance
			}
		}
		if math.Abs(recovers-parts) > 1e-9 || math.Abs(explains-chances) > 1e-9 {
			t.Fatalf("gives back %v of %v s, explains %v of %v", recovers, parts, explains, chances)
		}
		if rest := j.fit.Rest; j.exchange.Reps > 0 && math.Abs(parts+rest-j.lost.T) > 1e-9 {
			t.Fatalf("parts %v and unexplained %v, lost %v", parts, rest, j.lost.T)
		}
	})
}

// drawShipped sees some measures of the shipped rubric, anywhere in what is
// plausible.
func drawShipped(t *rapid.T, r *rubric.Rubric) *observation.Observation {
	o := &observation.Observation{Player: observation.Player{Ref: "P", Age: rapid.IntRange(8, 18).Draw(t, "age"), StatureCM: 150}}
	for i := range rapid.IntRange(1, 4).Draw(t, "reps") {
		rep := observation.Rep{Number: i + 1}
		for _, m := range r.Measures {
			if m.Formula != nil || m.BuiltIn || rapid.IntRange(0, 2).Draw(t, m.Name) == 0 {
				continue
			}
			x := 0.0
			if m.HasRange {
				x = rapid.Float64Range(m.Plausible[0], m.Plausible[1]).Draw(t, "x")
			}
			rep.Measures = append(rep.Measures, observation.Reading{Measure: m.Name, YesNo: m.Kind == rubric.YesNo, Yes: rapid.Bool().Draw(t, "yes"), X: x})
		}
		if rapid.IntRange(0, 5).Draw(t, "held") == 0 {
			rep.Held = []string{rapid.SampledFrom([]string{"long-stride", "late-feet", "slow-change"}).Draw(t, "which")}
		}
		o.Reps = append(o.Reps, rep)
	}
	return o
}

package engine_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"rootcue/engine"
	"rootcue/engine/observation"
)

func jsonOf(t fatal, a *engine.Assessment) []byte {
	out, err := a.JSON()
	if err != nil || !json.Valid(out) {
		t.Fatalf("%v: %s", err, out)
	}
	return out
}

// TestAnUnlinkedUnseenFaultChangesNothingSeen: adding one to the rubric leaves
// all else as it was.
func TestAnUnlinkedUnseenFaultChangesNothingSeen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawTrial(t)
		before := assessText(t, parseText(t, d.rubricText()), d.observationText(d.inOrder()))
		d.faults = append(d.faults, trialFault{outcome: true, kind: "must_be", background: 0.3})
		for k := range d.reps {
			d.reps[k].values = append(d.reps[k].values, trialReading{})
		}
		after := assessText(t, parseText(t, d.rubricText()), d.observationText(d.inOrder()))
		extra := after.Findings[len(after.Findings)-1]
		if extra.Verdict != "not-seen" && extra.Verdict != "not-applicable" || math.Abs(float64(extra.InContext)-0.3) > 1e-9 {
			t.Fatalf("the new fault is %s with %v", extra.Verdict, extra.InContext)
		}
		after.Findings, after.Rubric = after.Findings[:len(after.Findings)-1], before.Rubric
		for i := range after.Findings { // a fault's line moves with the measure declared above it
			after.Findings[i].Why.Line = before.Findings[i].Why.Line
		}
		if diff := cmp.Diff(string(jsonOf(t, before)), string(jsonOf(t, after))); diff != "" {
			t.Fatalf("%s", diff)
		}
	})
}

// TestBetterNeverCostsMore: without a clock, bringing all readings of a measure
// nearer to what is sound by the same step never costs more time.
func TestBetterNeverCostsMore(t *testing.T) {
	total := func(a *engine.Assessment) (sum float64) {
		for _, p := range a.Clock.Parts {
			sum += float64(p.S)
		}
		return sum
	}
	rapid.Check(t, func(t *rapid.T) {
		d := drawTrial(t)
		d.goal = 0
		i := rapid.IntRange(0, len(d.faults)-1).Draw(t, "which")
		if d.faults[i].kind == "between" { // sound in the middle: no side is better
			d.faults[i].kind = "at_most"
		}
		r := parseText(t, d.rubricText())
		before := assessText(t, r, d.observationText(d.inOrder()))
		step := hundredths(t, 1, 30, "step")
		for k := range d.reps {
			v := &d.reps[k].values[i]
			v.yes = true
			v.x += map[string]float64{"at_most": -step, "at_least": step}[d.faults[i].kind]
		}
		after := assessText(t, r, d.observationText(d.inOrder()))
		if total(after) > total(before)+1e-12 {
			t.Fatalf("costs %v, before %v", total(after), total(before))
		}
		if d.faults[i].cost != "" && len(before.Clock.Parts) != len(after.Clock.Parts) {
			t.Fatalf("%d parts, before %d", len(after.Clock.Parts), len(before.Clock.Parts))
		}
	})
}

// TestOrderDoesNotMatter: neither of reps nor of the keys in an object.
func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawTrial(t)
		r := parseText(t, d.rubricText())
		doc := d.observationText(d.inOrder())
		want := jsonOf(t, assessText(t, r, doc))
		shuffled := d.observationText(rapid.Permutation(d.inOrder()).Draw(t, "order"))
		for name, other := range map[string]string{"reps": shuffled, "keys": reversed(t, doc)} {
			if got := jsonOf(t, assessText(t, r, other)); !bytes.Equal(got, want) {
				t.Fatalf("the order of %s matters:\n%s", name, cmp.Diff(string(want), string(got)))
			}
		}
	})
}

// reversed writes a document with the keys of every object the other way round.
func reversed(t fatal, doc string) string {
	var v any
	if err := json.Unmarshal([]byte(doc), &v); err != nil {
		t.Fatalf("%v", err)
	}
	var b strings.Builder
	var write func(v any)
	write = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			keys := slices.Sorted(maps.Keys(v))
			slices.Reverse(keys)
			for i, k := range keys {
				fmt.Fprintf(&b, "%c%q:", "{,"[min(i, 1)], k)
				write(v[k])
			}
			if len(keys) == 0 {
				b.WriteByte('{')
			}
			b.WriteByte('}')
		case []any:
			b.WriteByte('[')
			for i, e := range v {
				if i > 0 {
					b.WriteByte(',')
				}
				write(e)
			}
			b.WriteByte(']')
		default:
			out, _ := json.Marshal(v)
			b.Write(out)
		}
	}
	write(v)
	return b.String()
}

// TestHandsAndUnits: left-handers are judged as right-handers on the same
// measures, and a length counts the same in any unit.
func TestHandsAndUnits(t *testing.T) {
	r := throwRubric(t)
	doc := func(throws, set, stride, exchange string) string {
		return fmt.Sprintf(`{"player": {"ref": "P-1", "age": 12, "stature_cm": 150%s}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"hip_height_set": %s, "stride_length": %s, "exchange_time": %s}}]}`, throws, set, stride, exchange)
	}
	want := jsonOf(t, assessText(t, r, doc("", "0.42", `{"value": 0.6, "u": 0.02}`, "1.15")))
	for name, other := range map[string]string{
		"left":   doc(`, "throws": "left"`, "0.42", `{"value": 0.6, "u": 0.02}`, "1.15"),
		"right":  doc(`, "throws": "right"`, "0.42", `{"value": 0.6, "u": 0.02}`, "1.15"),
		"cm":     doc("", `{"value": 63, "unit": "cm"}`, `{"value": 90, "u": 3, "unit": "cm"}`, "1.15"),
		"metres": doc("", `{"value": 0.63, "unit": "m"}`, `{"value": 0.9, "u": 0.03, "unit": "m"}`, `{"value": 1150, "unit": "ms"}`),
		"feet":   doc("", fmt.Sprintf(`{"value": %v, "unit": "ft"}`, 0.63/0.3048), fmt.Sprintf(`{"value": %v, "u": %v, "unit": "in"}`, 0.9/0.0254, 0.03/0.0254), "1.15"),
	} {
		if got := jsonOf(t, assessText(t, r, other)); !bytes.Equal(got, want) {
			t.Errorf("%s:\n%s", name, cmp.Diff(string(want), string(got)))
		}
	}
}

// TestOutcomeIsOfTheAssessment: judging for a comparison finds what the whole
// assessment says, and a rubric held against itself changes nothing.
func TestOutcomeIsOfTheAssessment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawTrial(t)
		r := parseText(t, d.rubricText())
		whole := assessText(t, r, d.observationText(d.inOrder()))
		o, problems := observation.Decode([]byte(d.observationText(d.inOrder())))
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		got, problems := engine.OutcomeOf(r, o)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		want := &engine.Outcome{Player: whole.Player.Ref, On: whole.On}
		for _, f := range whole.Findings {
			want.Findings = append(want.Findings, engine.Found{Fault: f.Fault, Verdict: string(f.Verdict)})
		}
		for _, c := range whole.Chains {
			want.Chains = append(want.Chains, engine.Gain{Root: c.Root, Recovers: c.RecoversS})
		}
		for _, w := range whole.WorkOn {
			want.WorkOn = append(want.WorkOn, w.Fault)
		}
		if diff := cmp.Diff(want, got, cmpopts.EquateEmpty()); diff != "" {
			t.Fatalf("%s", diff)
		}
		if d := engine.Compare(got, got); d.Changed() {
			t.Fatalf("held against itself it changes %+v", d)
		}
	})
}

func TestCompare(t *testing.T) {
	type o = engine.Outcome
	a := &o{
		Player: "P-1", On: "2026-05-02", WorkOn: []string{"one", "two"},
		Findings: []engine.Found{{"one", "fault"}, {"two", "close"}, {"gone", "sound"}, {"same", "sound"}},
		Chains:   []engine.Gain{{"one", 0.1}, {"two", 0.05}, {"gone", 0.02}},
	}
	b := &o{
		Player: "P-1", On: "2026-05-02", WorkOn: []string{"two", "one"},
		Findings: []engine.Found{{"two", "close"}, {"one", "sound"}, {"same", "sound"}, {"new", "fault"}},
		Chains:   []engine.Gain{{"two", 0.0504}, {"one", 0.2}},
	}
	want := engine.Difference{
		Player: "P-1", On: "2026-05-02",
		Findings:  []engine.FindingChange{{"one", "fault", "sound"}, {"gone", "sound", ""}, {"new", "", "fault"}},
		Chains:    []engine.ChainChange{{"one", 0.1, 0.2}, {"gone", 0.02, 0}}, // two: under 1 ms
		OldWorkOn: a.WorkOn, NewWorkOn: b.WorkOn,
	}
	if diff := cmp.Diff(want, engine.Compare(a, b)); diff != "" {
		t.Error(diff)
	}
}

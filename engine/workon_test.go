package engine_test

import (
	"fmt"
	"strings"
	"testing"

	"rootcue/engine"
	"rootcue/engine/workload"
)

// order lists faults a to e of one measure each, with costs, causes and marks of
// care as a case says.
func orderRubric(faults, rest string) string {
	var b strings.Builder
	b.WriteString("rubric: order\ntitle: Order\nbands: {all: {ages: [8, 18]}}\nreference: {exchange_time: {all: 1, u: 0.05}}\nmeasures:\n  exchange_time: {title: Exchange, unit: s}\n")
	for _, name := range strings.Split("abcde", "") {
		fmt.Fprintf(&b, "  m%s: {title: M, unit: s, u: 0.1}\n", name)
	}
	return b.String() + "faults:\n" + faults + rest
}

func workOnNames(a *engine.Assessment) string {
	var names []string
	for _, w := range a.WorkOn {
		names = append(names, w.Fault)
	}
	return strings.Join(names, " ")
}

// TestOrderOfCorrections: by what they give back in steps of 5 ms, then by what
// they explain; care for the arm first; one of a pair; as many as the rubric says.
func TestOrderOfCorrections(t *testing.T) {
	fault := func(name, cost, more string) string {
		return fmt.Sprintf("  %s: {title: %s, measure: m%s, at_most: 0.5, background: 0.3, costs: %q%s}\n", name, name, name, cost, more)
	}
	leads := func(to string) string { return ", leads_to: {" + to + ": {strength: 0.9, because: it does}}" }
	arm := ", arm_load: true, source: common practice"
	pair := func(weight float64) string {
		return fmt.Sprintf("either_way:\n  - {between: [a, b], weight: %v, strength: 0.2}\n", weight)
	}
	all := `"ma": 1, "mb": 1, "mc": 1, "md": 1`
	for _, c := range []struct{ name, faults, rest, seen, want string }{
		{"by seconds", fault("a", "0.02", "") + fault("b", "0.06", "") + fault("c", "0.04", ""), "", all, "b c a"},
		{"at most three", fault("a", "0.02", "") + fault("b", "0.06", "") + fault("c", "0.04", "") + fault("d", "0.01", ""), "", all, "b c a"},
		{"at most what the rubric says", fault("a", "0.02", "") + fault("b", "0.06", ""), "work_on: 1\n", all, "b"},
		{"less than 5 ms apart, by what they explain", fault("a", "0.100", "") + fault("b", "0.101", "") + fault("c", "0.3", "") + fault("d", "0", leads("e")) + fault("e", "0", ""), "", `"ma": 1, "mb": 0.62, "mc": 0, "md": 0`, "a b"},
		{"without costs, by what they explain", fault("a", "0", "") + fault("b", "0", leads("c")) + fault("c", "0", ""), "", all, "b a c"},
		{"the arm first", fault("a", "0.06", "") + fault("b", "0", arm) + fault("c", "0.04", ""), "", all, "b a c"},
		{"safety first", fault("a", "0.06", "") + fault("b", "0", ", safety: true"), "", all, "b a"},
		{"the likelier of two for the arm", fault("a", "0.06", "") + fault("b", "0.01", arm) + fault("c", "0", arm), "", `"ma": 1, "mb": 0.6, "mc": 1`, "c a b"},
		{"close is not enough to go first", fault("a", "0.06", "") + fault("b", "0", arm), "", `"ma": 1, "mb": 0.52`, "a b"},
		{"one of a pair, as written", fault("a", "0.02", "") + fault("b", "0.06", "") + fault("c", "0.04", ""), pair(0.6), all, "c a"},
		{"one of a pair, a tie", fault("a", "0.02", "") + fault("b", "0.06", "") + fault("c", "0.04", ""), pair(0.5), all, "c a"},
		{"one of a pair, the other way", fault("a", "0.02", "") + fault("b", "0.06", "") + fault("c", "0.04", ""), pair(0.4), all, "b c"},
		{"the arm is not dropped for its partner", fault("a", "0.02", "") + fault("b", "0.06", arm) + fault("c", "0.04", ""), pair(0.6), all, "b c"},
		{"sound and unseen are left out", fault("a", "0.02", "") + fault("b", "0.06", ""), "", `"ma": 0.1`, ""},
	} {
		a := assessText(t, parseText(t, orderRubric(c.faults, c.rest)), fewDocument(`"age": 12, "stature_cm": 150`, measures(c.seen)))
		if got := workOnNames(a); got != c.want {
			t.Errorf("%s: %q, wanted %q", c.name, got, c.want)
		}
	}
}

// TestContextDisagrees: a fault that its neighbours speak against goes to
// look_next with a note, not to work_on.
func TestContextDisagrees(t *testing.T) {
	src := orderRubric(`  a: {title: A, measure: ma, at_most: 0.5, background: 0.01, leads_to: {b: {strength: 1, because: it does}, c: {strength: 1, because: it does}}}
  b: {title: B, measure: mb, at_most: 0.5, background: 0.01}
  c: {title: C, measure: mc, at_most: 0.5, background: 0.01}
`, "")
	a := assessText(t, parseText(t, src), fewDocument(`"age": 12, "stature_cm": 150`, measures(`"ma": 0.65, "mb": 0, "mc": 0`)))
	if verdictOf(a, "a") != "fault" || workOnNames(a) != "" || len(a.LookNext) != 1 || a.LookNext[0].Fault != "a" || a.LookNext[0].Measure != "ma" || !hasNote(a, "context-disagrees") {
		t.Errorf("work on %q, look next %v, notes %v", workOnNames(a), a.LookNext, a.Notes)
	}
}

// TestSettling: a held rep in which the other member of the pair stays away
// speaks for the held one as the cause, and for nothing else.
func TestSettling(t *testing.T) {
	faults := "  a: {title: A, measure: ma, at_most: 0.5, background: 0.3}\n  b: {title: B, measure: mb, at_most: 0.5, background: 0.3}\n"
	r := parseText(t, orderRubric(faults, "either_way:\n  - {between: [a, b], weight: 0.5, strength: 0.5, settle_by: Hold it.}\n"))
	seen := measures(`"ma": 1, "mb": 1`)
	forward := func(reps ...string) float64 {
		a := assessText(t, r, fewDocument(`"age": 12, "stature_cm": 150`, reps...))
		if len(a.Undecided) != 1 || a.Reps != 1 {
			t.Fatalf("%+v", a.Undecided)
		}
		return float64(a.Undecided[0].Forward)
	}
	none := forward(seen)
	gone := forward(seen, `"held": ["a"], `+measures(`"mb": 0`))
	stays := forward(seen, `"held": ["a"], `+measures(`"mb": 1`))
	other := forward(seen, `"held": ["b"], `+measures(`"ma": 1`))
	unseen := forward(seen, `"held": ["a"], `+measures(``))
	both := forward(seen, `"held": ["a", "b"], `+measures(`"ma": 0, "mb": 0`))
	if none != 0.5 || unseen != 0.5 || both != 0.5 {
		t.Errorf("without a reading %v, %v, %v", none, unseen, both)
	}
	if !(gone > 0.89 && stays < 0.11 && other > 0.89) {
		t.Errorf("held and gone %v, held and stays %v, the effect held %v", gone, stays, other)
	}
}

// TestGate: under a stop on throwing no drill that throws is handed out, nor a
// correction left without one; after pain nothing at all. Nothing else changes.
func TestGate(t *testing.T) {
	a := assess(t, 12, 4, map[string]any{"clean_change": false, "elbow_height_release": -0.2, "front_shoulder_open": 80, "exchange_time": 1.3})
	before := len(a.WorkOn)
	caution := []workload.Caution{{Code: "x", Level: workload.Stop, Says: "Stop."}}
	a.ApplyGate(workload.Gate{Cautions: caution, ThrowingStopped: true})
	for _, w := range a.WorkOn {
		if len(w.Drills) == 0 {
			t.Errorf("%s without a drill", w.Fault)
		}
		for _, d := range w.Drills {
			if d.Throws > 0 {
				t.Errorf("%s throws", d.Drill)
			}
		}
	}
	if before != 3 || len(a.WorkOn) != 2 || a.Cautions[0].Code != "x" {
		t.Errorf("%d corrections, before %d; %v", len(a.WorkOn), before, a.Cautions)
	}
	if a.ApplyGate(workload.Gate{Cautions: caution, EmptyAll: true}); len(a.WorkOn) != 0 {
		t.Errorf("after pain: %v", a.WorkOn)
	}
}

package measure_test

import (
	"math"
	"strings"
	"testing"

	"rootcue/engine/measure"
	"rootcue/engine/quantity"
	"rootcue/engine/rubric"
	"rootcue/engine/verdict"
)

func fault(s *measure.Sheet, name string) *rubric.Fault {
	return &s.Rubric.Faults[s.Rubric.FaultNamed(name)]
}

// TestCostOnMeans: (height − limit)·stature/hand_speed on the means, with its
// uncertainty from the reading, the table's stature and the constant.
func TestCostOnMeans(t *testing.T) {
	s := readDocument(t, document(`"age": 12, "stature_cm": 150`, "", `"measures": {"height": 0.5}`, `"measures": {"height": 0.5}`))
	v, seen, ok := s.CostMeans(fault(s, "high"), s.Free(), 0.4)
	if !seen || !ok {
		t.Fatalf("seen %t, ok %t", seen, ok)
	}
	within(t, "cost", v.X, 0.1*1.5/2)
	reading, speed := 0.02*1.5/2, 0.1*1.5*(1/1.5-1/2.5)/2
	within(t, "u(cost)", v.U(), math.Hypot(reading, speed))
	height := mean(s, "height").Value
	within(t, "covariance with the height", quantity.Covariance(v, height), reading*0.02)
}

// TestCostIsNotNegative: a cost below 0 is 0, and only what reaches above 0
// makes it uncertain.
func TestCostIsNotNegative(t *testing.T) {
	s := read(t, `"height": {"value": 0.39, "u": 0.03}`)
	v, _, _ := s.CostMeans(fault(s, "high"), s.Free(), 0.4)
	within(t, "cost", v.X, 0)
	within(t, "u(cost)", v.U(), (0.02*1.5/2)/2) // half of the cost at +u; at −u it is 0
	s = read(t, `"height": {"value": 0.2, "u": 0.03}`)
	v, _, _ = s.CostMeans(fault(s, "high"), s.Free(), 0.4)
	if v.X != 0 || v.U() != 0 {
		t.Errorf("%v ± %v", v.X, v.U())
	}
}

// TestCostNotSeen: it takes all that the cost reads; a mean over reps that are
// not in it does not count.
func TestCostNotSeen(t *testing.T) {
	s := read(t, `"turn": 4`, `"height": 0.5`)
	if _, seen, ok := s.CostMeans(fault(s, "high"), []bool{true, false}, 0.4); seen || !ok {
		t.Errorf("seen %t, ok %t", seen, ok)
	}
	if _, seen, _ := s.CostMeans(fault(s, "high"), []bool{false, true}, 0.4); !seen {
		t.Error("not seen in its own rep")
	}
}

// TestCostNotFinite: told with the fault, the expression and what it read.
func TestCostNotFinite(t *testing.T) {
	s := read(t, `"exchange_time": 1, "wait": 0`)
	_, seen, ok := s.CostMeans(fault(s, "far"), s.Free(), math.NaN())
	if seen || ok {
		t.Errorf("seen %t, ok %t", seen, ok)
	}
	tellsOf(t, s, "", "the cost of far", "exchange_time / wait", "exchange_time = 1", "wait = 0")
}

func tellsOf(t *testing.T, s *measure.Sheet, pointer string, parts ...string) {
	t.Helper()
	problems := s.Problems()
	if len(problems) != 1 || problems[0].Code != "not-finite" || problems[0].Pointer != pointer {
		t.Fatalf("%+v", problems)
	}
	for _, part := range parts {
		if !strings.Contains(problems[0].Found, part) {
			t.Errorf("%q is not in %q", part, problems[0].Found)
		}
	}
}

// TestConditionNotFinite: NaN is neither yes nor no, in a rep and on the means.
func TestConditionNotFinite(t *testing.T) {
	s := read(t, `"exchange_time": 1, "wait": 2`, `"exchange_time": 1, "wait": 0`)
	if holds, seen := s.HoldsInRep(fault(s, "far").When, "the condition of ", "far", 0); holds || !seen {
		t.Errorf("in the first rep: holds %t, seen %t", holds, seen)
	}
	if holds, seen := s.HoldsInRep(fault(s, "far").When, "the condition of ", "far", 1); holds || seen {
		t.Errorf("in the second: holds %t, seen %t", holds, seen)
	}
	tellsOf(t, s, "/reps/1", "the condition of far", "wait = 0")

	s = read(t, `"exchange_time": {"value": 1, "u": 0}, "wait": 0`)
	if _, seen, ok := s.ChanceMeans(fault(s, "far").When, "the condition of far", s.Free()); seen || ok {
		t.Errorf("on the means: seen %t, ok %t", seen, ok)
	}
	tellsOf(t, s, "", "the condition of far", "wait = 0")
}

// TestChanceOfCondition: the share of the fixed draws in which the condition
// holds: near the normal chance for a plain comparison, exact where nothing is
// uncertain.
func TestChanceOfCondition(t *testing.T) {
	for _, c := range []struct {
		rep  string
		want float64
		near float64
	}{
		{`"exchange_time": {"value": 1.05, "u": 0.05}, "open": true`, verdict.Phi(1), 1.0 / verdict.Draws},
		{`"exchange_time": {"value": 1, "u": 0.05}, "open": true`, 0.5, 1.0 / verdict.Draws},
		{`"exchange_time": {"value": 1.1, "u": 0}, "open": true`, 1, 0},
		{`"exchange_time": {"value": 1, "u": 0}, "open": true`, 0, 0},
		{`"exchange_time": {"value": 5e-9, "u": 0}, "open": true`, 0, 0},
		{`"exchange_time": {"value": 1.1, "u": 0.05}, "open": false`, 0, 0},
	} {
		s := read(t, c.rep)
		chance, seen, ok := s.ChanceMeans(fault(s, "slow").When, "slow", s.Free())
		if !seen || !ok || math.Abs(chance-c.want) > c.near {
			t.Errorf("%s: %v (seen %t), wanted %v", c.rep, chance, seen, c.want)
		}
		if inRep, seen, ok := s.ChanceRep(fault(s, "slow").When, "slow", 0); inRep != chance || !seen || !ok {
			t.Errorf("%s: %v in the rep, %v on the means", c.rep, inRep, chance)
		}
	}
}

// TestConditionIsThreeValued: a surely false part makes it false even where the
// other was not seen; else it is not seen.
func TestConditionIsThreeValued(t *testing.T) {
	s := read(t, `"open": false`, `"open": true`)
	slow := fault(s, "slow").When
	if chance, seen, _ := s.ChanceMeans(slow, "slow", []bool{true, false}); chance != 0 || !seen {
		t.Errorf("with a false part: %v, seen %t", chance, seen)
	}
	if _, seen, ok := s.ChanceMeans(slow, "slow", []bool{false, true}); seen || !ok {
		t.Errorf("with a true part: seen %t", seen)
	}
	if _, seen, ok := s.ChanceRep(slow, "slow", 1); seen || !ok {
		t.Errorf("in the rep: seen %t", seen)
	}
}

// TestMajority: a yes-no measure enters a condition on the means by its
// majority; a tie counts as yes.
func TestMajority(t *testing.T) {
	yes, no := `"exchange_time": {"value": 2, "u": 0}, "open": true`, `"exchange_time": {"value": 2, "u": 0}, "open": false`
	for _, c := range []struct {
		reps []string
		want float64
	}{{[]string{yes, yes, no}, 1}, {[]string{yes, no, no}, 0}, {[]string{yes, no}, 1}} {
		s := read(t, c.reps...)
		if chance, _, _ := s.ChanceMeans(fault(s, "slow").When, "slow", s.Free()); chance != c.want {
			t.Errorf("%v: %v, wanted %v", c.reps, chance, c.want)
		}
	}
}

// TestOnlyIfNotFinite: a condition on the circumstances that divides by zero is
// told with the rep.
func TestOnlyIfNotFinite(t *testing.T) {
	s := readDocument(t, document(`"age": 12`, "", `"conditions": {"pitch": "strike"}`, `"conditions": {"pitch": "dirt"}`))
	if holds, seen := s.HoldsInRep(fault(s, "slow").OnlyIf, "only_if of ", "slow", 0); !holds || !seen {
		t.Error("a part that decides alone does not") // NaN or true
	}
	if holds, seen := s.HoldsInRep(fault(s, "slow").OnlyIf, "only_if of ", "slow", 1); holds || seen {
		t.Error("NaN was taken for an answer")
	}
	tellsOf(t, s, "/reps/1", "only_if of slow", "gap = 0")
}

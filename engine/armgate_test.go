package engine_test

import (
	"testing"

	"rootcue/engine"
	"rootcue/engine/civil"
	"rootcue/engine/observation"
	"rootcue/engine/rubric"
	"rootcue/engine/workload"
)

// The age that chooses the rules: the one stated, else by the rubric's cut-off,
// where born in the cut-off's month counts as not yet. Only 12 has a limit here.
// The policy has no cut-off of its own.
func TestArmGateAge(t *testing.T) {
	policy, problems := workload.Parse("p.yaml", []byte("policy: twelve\ntitle: Twelve\nsource: {by: Harbour, edition: \"1\", read: 2026-01-10}\nthrowing:\n  - {ages: [12, 12], most_a_day: 10}\n"))
	if policy == nil {
		t.Fatal(problems)
	}
	on := civil.Date{Year: 2026, Month: 5, Day: 10}
	r := &rubric.Rubric{Cutoff: rubric.MonthDay{Month: 4, Day: 30}}
	full := workload.Ledger{Entries: []workload.Entry{{Line: 1, Date: on, Kind: workload.PracticeThrows, Count: workload.Of(10)}}}
	for _, tt := range []struct {
		name    string
		player  observation.Player
		ledger  workload.Ledger
		stopped bool
	}{
		{"stated", observation.Player{Age: 12}, full, true},
		{"stated, another age", observation.Player{Age: 13}, full, false},
		{"born before the cut-off's month", observation.Player{BornYear: 2014, BornMonth: 3}, full, true},
		{"born in it", observation.Player{BornYear: 2014, BornMonth: 4}, full, false},
		{"nothing recorded", observation.Player{Age: 12}, workload.Ledger{}, false},
		{"recorded on another day", observation.Player{Age: 12}, workload.Ledger{Entries: []workload.Entry{{Line: 1, Date: on.AddDays(-1), Kind: workload.PracticeThrows, Count: workload.Of(10)}}}, false},
	} {
		o := &observation.Observation{On: on, Player: tt.player}
		if g := engine.ArmGate(r, o, []*workload.Policy{policy}, tt.ledger); g.ThrowingStopped != tt.stopped || len(g.Cautions) == 0 {
			t.Errorf("%s: stopped %v, wanted %v: %+v", tt.name, g.ThrowingStopped, tt.stopped, g.Cautions)
		}
		if g := engine.ArmGate(r, o, nil, tt.ledger); g.ThrowingStopped {
			t.Errorf("%s: stopped without a policy", tt.name)
		}
	}
}

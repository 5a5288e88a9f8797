package cli

import (
	"fmt"

	"rootcue/engine"
	"rootcue/engine/civil"
	"rootcue/engine/observation"
	"rootcue/engine/rubric"
	"rootcue/engine/workload"
)

// arm is what --policy and --ledger say of a player's arm.
type arm struct {
	policies []*workload.Policy
	ledger   workload.Ledger
}

// lastDay reads a ledger whole: each observation sees it as of its own day.
var lastDay = civil.Date{Year: 9999, Month: 12, Day: 31}

func (c *assessCmd) readArm(s *streams) (*arm, error) {
	if c.Ledger == "" && len(c.Policy) == 0 {
		return nil, nil
	}
	if c.Ledger == "" || len(c.Policy) == 0 {
		return nil, badUsage("--policy and --ledger go together: found only one of the two")
	}
	policies, err := loadPolicies(c.Policy)
	if err != nil {
		return nil, err
	}
	ledger, problems, err := readLedger(c.Ledger, lastDay, s)
	for _, p := range problems {
		fmt.Fprintln(s.Err, p.Summary())
	}
	return &arm{policies, ledger}, err
}

// gate is what the arm's record says on the day of an observation.
func (a *arm) gate(o *observation.Observation, r *rubric.Rubric) *workload.Gate {
	g := engine.ArmGate(r, o, a.policies, a.ledger)
	return &g
}

package engine

import (
	"rootcue/engine/civil"
	"rootcue/engine/observation"
	"rootcue/engine/rubric"
	"rootcue/engine/workload"
)

// ArmGate is what an arm's record says on the day of an observation, under the
// policies in force. The player's age is the one stated, or follows from the
// month of birth and the rubric's cut-off.
func ArmGate(r *rubric.Rubric, o *observation.Observation, policies []*workload.Policy, ledger workload.Ledger) workload.Gate {
	p := workload.Player{Age: o.Player.Age, Born: civil.Birth{Year: o.Player.BornYear, Month: o.Player.BornMonth}}
	if p.Age == 0 {
		p.Age = civil.PlayingAge(p.Born.Year, p.Born.Month, o.On, r.Cutoff.Month, r.Cutoff.Day)
	}
	return workload.NewGate(workload.GateInput{On: o.On, Player: p, Policies: policies, Ledger: &ledger})
}

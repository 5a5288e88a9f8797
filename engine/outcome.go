package engine

import (
	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
)

// An Outcome is what Compare looks at of an assessment: far less work to come
// by than the whole, which counts where a rubric is held against all that is
// stored.
type Outcome struct {
	Player   string // the club's reference
	On       string // day of the observation
	Findings []Found
	Chains   []Gain
	WorkOn   []string // faults, the first first
}

// Found is the verdict on a fault.
type Found struct{ Fault, Verdict string }

// A Gain is what the chain from a root gives back.
type Gain struct {
	Root     string
	Recovers Number // s
}

// OutcomeOf judges as Assess does where nothing is known of the workload, and
// gives the same problems.
func OutcomeOf(r *rubric.Rubric, o *observation.Observation) (*Outcome, []place.Problem) {
	j, problems := newJudge(Request{Rubric: r, Observation: o})
	if j == nil {
		return nil, place.Cap(problems)
	}
	defer j.release()
	if problems := j.steps(); len(problems) > 0 {
		return nil, place.Cap(problems)
	}
	return j.outcome(), nil
}

func (j *judge) outcome() *Outcome {
	out := &Outcome{Player: j.req.Observation.Player.Ref, On: j.req.Observation.On.String(), Findings: make([]Found, len(j.faults))}
	for i := range j.faults {
		out.Findings[i] = Found{j.r.Faults[i].Name, string(j.faults[i].verdict)}
	}
	for _, f := range j.roots() {
		out.Chains = append(out.Chains, Gain{j.r.Faults[f].Name, Number(j.recovers[f])})
	}
	for _, f := range j.toCorrect() {
		out.WorkOn = append(out.WorkOn, j.r.Faults[f].Name)
	}
	return out
}

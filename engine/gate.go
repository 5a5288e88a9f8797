package engine

import (
	"slices"

	"rootcue/engine/workload"
)

// gate puts the cautions in and takes out what must not be handed out: under a
// stop on throwing every drill that throws and every correction left without a
// drill; after pain or a blow all of it. No ranking comes after it.
func (j *judge) gate(a *Assessment) {
	g := j.req.Gate
	if g == nil {
		unknown := workload.NewGate(workload.GateInput{On: j.req.Observation.On})
		g = &unknown
	}
	a.ApplyGate(*g)
	if g.ThrowingStopped || g.EmptyAll {
		j.note("seen-on-a-stop-day", "These reps fall on a day on which the record says to stop. They are judged all the same; see the cautions first.")
	}
}

// ApplyGate sets an assessment's cautions and takes out of WorkOn what they
// stop. An assessment kept from another day gets the gate of the day on which
// it is shown.
func (a *Assessment) ApplyGate(g workload.Gate) {
	a.Cautions = slices.Clone(g.Cautions)
	if g.EmptyAll {
		a.WorkOn = []WorkOn{}
	}
	if g.ThrowingStopped {
		kept := []WorkOn{}
		for _, w := range a.WorkOn {
			w.Drills = slices.DeleteFunc(slices.Clone(w.Drills), func(d DrillToDo) bool { return d.Throws > 0 })
			if len(w.Drills) > 0 {
				kept = append(kept, w)
			}
		}
		a.WorkOn = kept
	}
}

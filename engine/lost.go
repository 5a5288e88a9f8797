package engine

import (
	"fmt"
	"math"

	"rootcue/engine/clock"
)

// reconcileClock shares the time lost out among the faults that cost time.
func (j *judge) reconcileClock() {
	for i := range j.faults {
		if f := &j.faults[i]; f.costed {
			j.partOf = append(j.partOf, i)
			j.parts = append(j.parts, clock.Part{Prior: f.chance * f.cost.X, UPrior: f.chance * f.cost.U()})
		}
	}
	if j.r.ExchangeMeasure >= 0 {
		j.exchange = j.s.Mean(j.r.ExchangeMeasure, j.s.Free())
	}
	if j.r.Reference == nil || j.exchange.Reps == 0 {
		j.fit = clock.Prior(j.parts)
		if j.r.Reference != nil {
			j.note("no-clock", "No exchange was timed, so what each fault costs stands as the rubric expects it, unchecked by the clock.")
		}
		return
	}
	ref := j.r.Reference
	j.lost = clock.Loss{
		T:           j.exchange.Value.X - ref.ByBand[j.s.Band],
		U:           math.Hypot(j.exchange.Value.U(), ref.U),
		Unexplained: j.r.UnexplainedU,
	}
	j.fit = clock.Reconcile(j.lost, j.parts)
	if j.fit.Widens {
		j.note("clock-does-not-fit", fmt.Sprintf("The clock shows %.2f s lost, more than the faults seen account for; %.2f s stays unexplained. Check the timing and what was not seen.", j.lost.T, j.fit.Rest))
	}
	if j.fit.Faster {
		j.note("faster-than-faults", fmt.Sprintf("The clock is faster than the faults seen would allow (%+.2f s against the goal). Check the timing, or the limits and costs.", j.lost.T))
	}
}

func (j *judge) clock() Clock {
	c := Clock{Parts: []Part{}}
	for k, p := range j.parts {
		c.Parts = append(c.Parts, Part{j.r.Faults[j.partOf[k]].Name, Number(p.Prior), Number(p.S), Number(p.U)})
	}
	if j.exchange.Reps == 0 {
		return c
	}
	c.Seen, c.ExchangeS = true, Number(j.exchange.Value.X)
	c.FlightS, c.PopS, c.ThrowSpeedMps = Number(j.thrown.flight), Number(j.thrown.pop), Number(j.thrown.speed)
	if j.r.Reference == nil {
		c.ReferenceS, c.LostS, c.ULostS, c.UnexplainedS = unknown, unknown, unknown, unknown
		return c
	}
	c.ReferenceS = Number(j.r.Reference.ByBand[j.s.Band])
	c.LostS, c.ULostS = Number(j.lost.T), Number(j.lost.U)
	c.UnexplainedS = Number(j.fit.Rest)
	return c
}

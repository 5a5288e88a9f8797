package engine

import (
	"math"
	"slices"

	"rootcue/engine/rubric"
	"rootcue/engine/verdict"
)

// workOn picks the corrections to hand out and says what each brings.
func (j *judge) workOn() []WorkOn {
	list := []WorkOn{}
	fixed := make([]bool, len(j.faults))
	t := j.thrown
	before := Number(j.chanceOut(t.pop, t.uPop))
	for _, f := range j.toCorrect() {
		fixed[f] = true
		w := WorkOn{Fault: j.r.Faults[f].Name, Cue: j.r.Faults[f].Cue, Drills: j.drills(&j.r.Faults[f]),
			ExchangeAfterS: unknown, PopAfterS: unknown, ChanceOutBefore: before, ChanceOutAfter: unknown}
		if j.exchange.Reps > 0 && j.r.Reference != nil {
			exchange := j.exchange.Value.X
			after := math.Max(exchange-j.work.Gain(j.secs, fixed), math.Min(exchange, j.r.Reference.ByBand[j.s.Band]))
			w.ExchangeAfterS = Number(after)
			w.PopAfterS = Number(t.pop - exchange + after)
			w.ChanceOutAfter = Number(j.chanceOut(float64(w.PopAfterS), t.uPop))
		}
		list = append(list, w)
	}
	return list
}

func (j *judge) drills(f *rubric.Fault) []DrillToDo {
	list := []DrillToDo{}
	for _, d := range f.Drills {
		drill := &j.r.Drills[d]
		list = append(list, DrillToDo{drill.Name, drill.Title, drill.How, drill.Dose, drill.Throws})
	}
	return list
}

// toCorrect are the faults to work on, the first first: seen as fault or
// close, no outcomes, none that its neighbours speak against, one of an
// undecided pair, and at most the rubric's number.
func (j *judge) toCorrect() []int {
	var order []int
	for f := range j.faults {
		v := j.faults[f].verdict
		if (v == verdict.Fault || v == verdict.Close) && !j.r.Faults[f].Outcome && !j.contextDisagrees(f) {
			order = append(order, f)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return firstOf(descending(rounded(j.recovers[a]), rounded(j.recovers[b])), descending(j.explains[a], j.explains[b]))
	})
	order = j.onePerPair(j.armFirst(order))
	return order[:min(len(order), j.r.WorkOn)]
}

// onePerPair keeps one of each undecided pair: the first of the direction that
// is at least as likely, as written on a tie; but never drops a fault that
// armFirst put first.
func (j *judge) onePerPair(order []int) []int {
	forward := j.work.Forward()
	for p, pair := range j.r.Pairs {
		if !slices.Contains(order, pair.First) || !slices.Contains(order, pair.Second) {
			continue
		}
		drop := pair.Second
		if forward[p] < 0.5 {
			drop = pair.First
		}
		if drop == order[0] && j.mayHurt(drop) {
			drop = pair.First + pair.Second - drop
		}
		order = slices.DeleteFunc(order, func(f int) bool { return f == drop })
	}
	return order
}

// armFirst moves the likeliest fault that may bear on the arm or a player's
// safety, if one is surely there, to the first place.
func (j *judge) armFirst(order []int) []int {
	best := -1
	for i, f := range order {
		if j.mayHurt(f) && (best < 0 || j.faults[f].chance > j.faults[order[best]].chance) {
			best = i
		}
	}
	if best > 0 {
		f := order[best]
		order = slices.Insert(slices.Delete(order, best, best+1), 0, f)
	}
	return order
}

// mayHurt reports a fault surely there that may bear on the arm or a player's
// safety.
func (j *judge) mayHurt(f int) bool {
	return (j.r.Faults[f].ArmLoad || j.r.Faults[f].Safety) && j.faults[f].verdict == verdict.Fault
}

// contextDisagrees reports a fault its own measure shows and its neighbours
// speak against.
func (j *judge) contextDisagrees(f int) bool {
	return j.faults[f].seen() && j.faults[f].chance >= j.r.FaultAt && j.work.InContext()[f] <= j.r.SoundAt
}

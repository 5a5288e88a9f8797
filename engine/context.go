package engine

import (
	"rootcue/engine/cause"
	"rootcue/engine/place"
	"rootcue/engine/verdict"
)

// inferCauses puts the chances into the network of causes.
func (j *judge) inferCauses() *place.Problem {
	n := len(j.faults)
	j.evidence.Ratio, j.evidence.Absent, j.evidence.Hard = make([]float64, n), make([]bool, n), make([]int8, n)
	for i := range j.faults {
		f := &j.faults[i]
		j.evidence.Ratio[i] = 1
		j.evidence.Absent[i] = f.verdict == verdict.NotApplicable
		if f.seen() {
			j.evidence.Ratio[i] = f.chance / (1 - f.chance)
		}
	}
	if err := j.work.Infer(&j.evidence); err != nil {
		return &place.Problem{Code: "impossible", Found: err.Error(), Wanted: "evidence the network can explain"}
	}
	return nil
}

// heldReadings reads the settling tests: reps in which one member of a pair
// was held speak on the direction of that pair, and on nothing else.
func (j *judge) heldReadings() (held []cause.HeldReading) {
	for i := range j.s.Reps {
		for p, pair := range j.r.Pairs {
			first, second := j.holds(i, pair.First), j.holds(i, pair.Second)
			if first == second {
				continue
			}
			other := pair.First
			if first {
				other = pair.Second
			}
			if chance, seen := j.chanceInRep(other, i); seen {
				held = append(held, cause.HeldReading{Pair: p, HeldFirst: first, Chance: chance})
			}
		}
	}
	return held
}

func (j *judge) holds(rep, fault int) bool {
	for _, f := range j.s.Reps[rep].Held {
		if f == fault {
			return true
		}
	}
	return false
}

// chanceInRep is the chance of a fault from one rep alone.
func (j *judge) chanceInRep(fault, rep int) (chance float64, seen bool) {
	f := &j.r.Faults[fault]
	if f.OnlyIf != nil {
		if holds, _ := j.s.HoldsInRep(f.OnlyIf, "only_if of ", f.Name, rep); !holds {
			return 0, false
		}
	}
	if f.When != nil {
		chance, seen, ok := j.s.ChanceRep(f.When, "the condition of "+f.Name, rep)
		return chance, seen && ok
	}
	cell := &j.s.Reps[rep].Cells[f.Measure]
	if !cell.Seen || !f.Limit.AppliesTo(j.s.Band) {
		return 0, false
	}
	wrong := 0
	if pastBy(&f.Limit, j.s.Band, cell.Value.X) > 0 {
		wrong = 1
	}
	return chanceOf(&f.Limit, j.s.Band, cell.Value.X, cell.Value.U(), wrong, 1), true
}

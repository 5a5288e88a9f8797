// Package measure reads an observation against a rubric: units, uncertainty,
// what marks and formulas add, and the mean over reps.
package measure

import (
	"slices"

	"rootcue/engine/formula"
	"rootcue/engine/marks"
	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/engine/quantity"
	"rootcue/engine/rubric"
)

// A Note is something the reader of an assessment should know.
type Note struct {
	Code string `json:"code" doc:"Stable name of the note"`
	Says string `json:"says" doc:"The note in a sentence"`
}

// A Cell is one measure in one rep, in the measure's own unit; a yes-no measure
// holds 1 or 0.
type Cell struct {
	Seen  bool
	Value quantity.Value
	From  string // "measures", "formula" or what marks it came from
	ByEye bool   // no uncertainty was stated: the rubric's reading error stands
}

// A Rep is one rep as judged.
type Rep struct {
	Number     int
	Clip       string
	Conditions rubric.Conditions
	Held       []int // faults the thrower was kept from
	Cells      []Cell

	in formula.Inputs // what expressions see of this rep
}

// A Sheet is an observation read against a rubric.
type Sheet struct {
	Rubric  *rubric.Rubric
	Age     int // playing age, years
	Band    int
	Stature quantity.Value // m; X is 0 where none is known
	Reps    []Rep
	Notes   []Note

	pool     quantity.Pool
	problems []place.Problem
	in       formula.Inputs // what expressions see of the means; also scratch
	inIsFree bool           // in holds the circumstances of the free reps
	free     []bool         // reps that are not held
	means    []Mean         // over the free reps, by measure
	hasMean  []bool
	alike    bool // the free reps have the same conditions
	dry      bool // exchanges are judged on dry reps, the majority
	marks    *marks.Inputs
	memory
}

// Read checks an observation against a rubric and fills a sheet. All slips are
// told at once, each with its JSON Pointer; with any, the sheet is nil.
func Read(r *rubric.Rubric, o *observation.Observation) (*Sheet, []place.Problem) {
	s := borrow(r, len(o.Reps))
	s.reserveInputs()
	s.readPlayer(o)
	if len(s.problems) == 0 { // without a band no limit or default is known
		for i := range o.Reps {
			s.readRep(i, &s.Reps[i], o)
			s.free[i] = len(s.Reps[i].Held) == 0
		}
	}
	if problems := s.problems; len(problems) > 0 {
		s.Release()
		return nil, problems
	}
	s.settleDry()
	s.compareConditions()
	return s, nil
}

// Alike reports that the conditions of all free reps are the same, so that a
// condition on them need be asked of one only.
func (s *Sheet) Alike() bool { return s.alike }

func (s *Sheet) compareConditions() {
	first := slices.Index(s.free, true)
	s.alike = first >= 0
	for i := first + 1; s.alike && i < len(s.Reps); i++ {
		s.alike = !s.free[i] || s.Reps[i].Conditions == s.Reps[first].Conditions
	}
}

func (s *Sheet) readRep(i int, rep *Rep, o *observation.Observation) {
	from := &o.Reps[i]
	rep.Number, rep.Clip = from.Number, from.Clip
	s.readConditions(i, rep, o)
	s.readHeld(i, rep, from)
	for k := range from.Measures {
		s.readStated(i, k, rep, &from.Measures[k])
	}
	s.readMarks(i, rep, o)
	s.deriveFormulas(i, rep)
}

func (s *Sheet) problem(code, pointer, found, wanted, hint string) {
	s.problems = append(s.problems, place.Problem{Code: code, Pointer: pointer, Found: found, Wanted: wanted, Hint: hint})
}

func (s *Sheet) note(code, says string) {
	n := Note{code, says}
	for _, old := range s.Notes {
		if old == n {
			return
		}
	}
	s.Notes = append(s.Notes, n)
}

// Inputs are numbered: stature, then for each measure the shared reading error
// and the private error of one reading, then the constants, then what marks
// add. A private input stands for another draw in every rep.
func (s *Sheet) reserveInputs() {
	for range s.Rubric.Measures {
		s.pool.Shared()
	}
	for range s.Rubric.Measures {
		s.pool.Own()
	}
	for range s.Rubric.Constants {
		s.pool.Shared()
	}
}

func (s *Sheet) sharedInput(m int) quantity.Input { return quantity.Input(1 + m) }
func (s *Sheet) ownInput(m int) quantity.Input {
	return quantity.Input(1 + len(s.Rubric.Measures) + m)
}
func (s *Sheet) constantInput(k int) quantity.Input {
	return quantity.Input(1 + 2*len(s.Rubric.Measures) + k)
}

package measure

import (
	"fmt"
	"strconv"
	"strings"

	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/engine/unit"
)

// plausibleBasePath bounds a base path in metres, so that 80 ft given as 80 m
// is caught. Fields in use run from 50 to 90 ft (common practice).
var plausibleBasePath = [2]float64{10, 35}

// readConditions lays a rep's conditions over the document's over the rubric's
// defaults for the band.
func (s *Sheet) readConditions(i int, rep *Rep, o *observation.Observation) {
	rep.Conditions = s.Rubric.Conditions[s.Band]
	s.lay(&rep.Conditions, &o.Conditions, -1)
	s.lay(&rep.Conditions, &o.Reps[i].Conditions, i)
}

// lay puts what was stated over what stands; i is the rep, -1 for the document.
func (s *Sheet) lay(to *rubric.Conditions, from *observation.Conditions, i int) {
	if from.BasePath != nil {
		pointer := "/conditions/base_path"
		if i >= 0 {
			pointer = "/reps/" + strconv.Itoa(i) + pointer
		}
		s.layBasePath(to, from.BasePath, pointer)
	}
	words := [...]struct {
		c  rubric.Condition
		to *int
	}{{rubric.ThrowTo, &to.ThrowTo}, {rubric.Ball, &to.Ball}, {rubric.Stance, &to.Stance}, {rubric.Pitch, &to.Pitch}, {rubric.Batter, &to.Batter}}
	for _, w := range words {
		if word := from.Words[w.c]; word != "" {
			*w.to, to.Seen[w.c] = rubric.WordNamed(w.c, word), true
		}
	}
	if from.RunnerMayLead != nil {
		to.RunnerMayLead, to.Seen[rubric.RunnerMayLead] = *from.RunnerMayLead, true
	}
	if from.Thrown != nil {
		to.Thrown, to.Seen[rubric.Thrown] = *from.Thrown, true
	}
}

func (s *Sheet) layBasePath(to *rubric.Conditions, q *observation.Reading, pointer string) {
	from := q.Unit
	if !q.HasUnit {
		from = s.Rubric.BasePathUnit
	}
	metre := unit.Must("m")
	if from.Dim != unit.Length {
		s.problem("wrong-dimension", pointer+"/unit", fmt.Sprintf("%s, a unit of %s", from.Name, from.Dim), "a unit of length", "")
		return
	}
	m := from.Convert(q.X, metre, 0)
	if m < plausibleBasePath[0] || m > plausibleBasePath[1] {
		s.problem("implausible", pointer, fmt.Sprintf("%g %s", q.X, from.Name), fmt.Sprintf("%g to %g m", plausibleBasePath[0], plausibleBasePath[1]), "state the unit, such as {\"value\": 70, \"unit\": \"ft\"}")
		return
	}
	to.BasePath, to.Seen[rubric.BasePath] = m, true
}

func (s *Sheet) readHeld(i int, rep *Rep, from *observation.Rep) {
	for k, name := range from.Held {
		f := s.Rubric.FaultNamed(name)
		if f < 0 {
			names := make([]string, len(s.Rubric.Faults))
			for j := range names {
				names[j] = s.Rubric.Faults[j].Name
			}
			s.problem("unknown-fault", fmt.Sprintf("/reps/%d/held/%d", i, k), fmt.Sprintf("%q", name), "a fault of the rubric", didYouMean(name, names))
			continue
		}
		rep.Held = append(rep.Held, f)
	}
}

func didYouMean(word string, known []string) string {
	if near := place.Nearest(strings.ToLower(word), known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return ""
}

package measure

import (
	"fmt"

	"rootcue/engine/marks"
	"rootcue/engine/observation"
)

// FromMarks derives, rep by rep, every measure that the marks of an observation
// show, also those that the rubric does not list or that were stated as well.
// o must be the observation the sheet was read from.
func (s *Sheet) FromMarks(o *observation.Observation) [][]marks.Derived {
	all := make([][]marks.Derived, len(o.Reps))
	for i := range o.Reps {
		if cams := o.Reps[i].Marks; len(cams) > 0 { // the sheet was read, so there is no slip in them
			all[i], _, _ = marks.Derive(cams, s.setting(&s.Reps[i], o), s.marks, fmt.Sprintf("/reps/%d/marks", i))
		}
	}
	return all
}

package report

import (
	"rootcue/engine/rubric"
)

// A FieldSheet says how to film and mark a rubric's items on the field, with a
// form to fill in by hand.
type FieldSheet struct {
	Rubric   string        `json:"rubric"`
	Title    string        `json:"title"`
	Cautions []string      `json:"cautions"`
	Cameras  []SheetCamera `json:"cameras"`
	Setup    []string      `json:"setup"`
	Moments  []SheetMoment `json:"moments"`
	Items    []SheetItem   `json:"items"`
}

// A SheetCamera is one camera: where it stands and what it is for.
type SheetCamera struct {
	View  string   `json:"view"`
	Where string   `json:"where"`
	Shows []string `json:"shows"` // measures
}

// A SheetMoment is a moment to find in the clip, and the points to mark there.
type SheetMoment struct {
	Moment string   `json:"moment"`
	Is     string   `json:"is"`
	Side   []string `json:"side"`   // points in the view from the side
	Behind []string `json:"behind"` // points in the view from behind or ahead
}

// A SheetItem is one line of the form.
type SheetItem struct {
	Measure string `json:"measure"`
	Title   string `json:"title"`
	Unit    string `json:"unit"` // what is written down: a unit, "yes / no" or a scale
	View    string `json:"view"` // where it is seen
}

// NewFieldSheet makes the field sheet of a rubric. Cameras and moments are left
// out for a rubric none of whose items marks can give.
func NewFieldSheet(r *rubric.Rubric) *FieldSheet {
	f := &FieldSheet{Rubric: r.Name, Title: r.Title, Cautions: sheetCautions}
	for i := range r.Measures {
		if m := &r.Measures[i]; !m.BuiltIn && m.Formula == nil {
			f.Items = append(f.Items, SheetItem{m.Name, m.Title, unitToWrite(m), viewOf(m.Name)})
		}
	}
	f.Cameras = camerasFor(f.Items)
	if len(f.Cameras) > 0 {
		f.Setup, f.Moments = sheetSetup, sheetMoments
	} else {
		f.Setup, f.Moments = []string{}, []SheetMoment{}
	}
	return f
}

// Package observation reads what an evaluator submits: one player's reps on
// one day, as measures stated or marks read off a video.
package observation

import (
	"rootcue/engine/civil"
	"rootcue/engine/marks"
	"rootcue/engine/unit"
)

// An Observation is a decoded document. It has the right form; whether its
// measures and values fit a rubric is checked when it is judged.
type Observation struct {
	Rubric     string
	Player     Player
	On         civil.Date
	Rater      string
	Session    string
	Conditions Conditions
	Reps       []Rep
}

// A Player is who was seen. Ref is the club's own reference.
type Player struct {
	Ref       string
	Age       int // playing age in years, 0 = not stated
	BornYear  int // 0 = not stated
	BornMonth int
	StatureCM float64 // cm, 0 = not stated
	StatureOn civil.Date
	Throws    string // "left", "right" or ""
}

// A Rep is one throw, or one ball received or blocked.
type Rep struct {
	Number     int
	Clip       string
	Conditions Conditions
	Measures   []Reading // in the order of the document; null readings are left out
	Marks      []marks.Camera
	Held       []string // faults the thrower was kept from
}

// A Reading is a stated measure.
type Reading struct {
	Measure string
	YesNo   bool // Yes counts; else X
	Yes     bool
	X       float64
	U       float64 // standard uncertainty in Unit; read only with HasU
	HasU    bool
	Unit    unit.Unit // as stated; only with HasUnit
	HasUnit bool
}

// Conditions are the circumstances as stated; a nil or empty field was not.
type Conditions struct {
	BasePath      *Reading
	Words         [6]string // by rubric.Condition: throw_to, ball, stance, pitch, batter
	RunnerMayLead *bool
	Thrown        *bool
}

package report

import (
	"rootcue/engine"
	"rootcue/engine/progress"
	"rootcue/engine/rubric"
)

// An Input is what a report is written from. All but the assessment may be
// left out.
type Input struct {
	Assessment *engine.Assessment

	// Rubric gives titles of measures and the units that people enter them in.
	// nil: findings' own titles, names of measures, centimetres for lengths.
	Rubric *rubric.Rubric

	// Review is the instructor's word; nil: none was given.
	Review *Review

	// Since is what changed; nil: this is the first assessment, or the only one
	// to be shown.
	Since *Since

	Lang       string // language of the page, one of Languages; "" is English
	RubricLang string // language that the rubric's cues, drills and reasons are written in; "" is English
	Club       Club

	// Switch leads to the page in the other languages by ?lang=: a server answers
	// that, a file does not.
	Switch bool

	// ForFamily leaves out what is for the instructor alone: the draft banner
	// and the chance of an out, which no page of a player under 11 shows at all.
	ForFamily bool
}

// A Club is how the club wants to be shown.
type Club struct {
	Name string // "" leaves it out
}

// A Review is the instructor's word on an assessment before a family reads it.
type Review struct {
	SetAside []SetAside
	Cues     []SwappedCue
	Note     string // to the family
	Released bool
}

// A SetAside finding is not handed out, for a reason that the page states.
type SetAside struct{ Fault, Reason string }

// A SwappedCue stands in place of the rubric's cue for a fault.
type SwappedCue struct{ Fault, Cue string }

// Since is what changed up to this assessment.
type Since struct {
	BandChanged bool // the player's age group is another than last time
	Rows        []Row
}

// A Row is one measure over the sessions, this one last. Values are in the
// measure's own unit.
type Row struct {
	Measure string
	Unit    string // name of the measure's unit
	Points  []Point
	Least   float64       // least change that is real; NaN when not known
	Word    progress.Word // from the session before to this one
}

// A Point is the mean of one session.
type Point struct {
	On       string // date, YYYY-MM-DD
	Value, U float64
}

// Package rubric reads coaching rubrics: YAML files that say which measures
// count, where their limits lie for each age band, which fault leads to which
// and what each costs. Parse reports every slip with its place and compiles
// the file, once, into a Rubric that any number of goroutines may use.
package rubric

import (
	"rootcue/engine/cause"
	"rootcue/engine/formula"
	"rootcue/engine/unit"
)

// A Rubric is a compiled rubric. It is not changed after Parse.
type Rubric struct {
	Name, Title, Skill string
	SHA256             string // of the file's bytes, lower-case hex
	Cutoff             MonthDay
	Bands              []Band
	Conditions         []Conditions // the defaults, one for each band
	BasePathUnit       unit.Unit    // the unit of a base path given as a bare number: the file's, else metres
	FaultAt, SoundAt   float64      // chances of a fault from which it counts, does not count
	WorkOn             int          // most cues handed out at once
	UnexplainedU       float64      // s, scatter of the clock that no fault explains
	Reference          *Reference   // the goal the clock is compared with; nil without one
	Constants          []Constant
	Measures           []Measure // in the order of the file, then the built-in ones it does not declare
	Formulas           []int     // indices of the derived Measures, each after those it reads
	Faults             []Fault   // faults, then outcomes, in the order of the file; the nodes of Graph
	Links              []Link
	Pairs              []Pair
	Drills             []Drill
	Examples           []Example
	Graph              *cause.Graph
	Slots              Slots          // where formulas find what they read
	ExchangeMeasure    int            // index of exchange_time in Measures, -1 without it
	named              map[string]int // Measures by name
	flights, speeds    *memo
}

// A MonthDay is a day of any year.
type MonthDay struct{ Month, Day int }

// A Band is an age group; From and To are playing ages in years, inclusive.
type Band struct {
	Name     string
	From, To int
}

// A Conditions value holds the circumstances of a rep. Indices count into the
// lists of Enumerations.
type Conditions struct {
	BasePath      float64 // m
	ThrowTo       int
	Ball          int
	Stance        int
	Pitch         int
	Batter        int
	RunnerMayLead bool
	Thrown        bool
	Seen          [ConditionCount]bool // which of the above were stated or have a default
}

// Condition numbers the conditions, in the order of ConditionNames.
type Condition int

// The conditions.
const (
	BasePath Condition = iota
	ThrowTo
	Ball
	Stance
	Pitch
	Batter
	RunnerMayLead
	Thrown
	ConditionCount
)

// ConditionNames are the keys of conditions in rubrics and observations.
var ConditionNames = [ConditionCount]string{"base_path", "throw_to", "ball", "stance", "pitch", "batter", "runner_may_lead", "thrown"}

// Enumerations lists the words each enumerated condition may take; nil for the
// length base_path and the yes-no conditions.
var Enumerations = [ConditionCount][]string{
	ThrowTo: {"second", "third", "first"},
	Ball:    {"live", "dry"},
	Stance:  {"two-feet", "knee-down"},
	Pitch:   {"strike", "high", "low", "in", "out", "dirt"},
	Batter:  {"none", "right", "left"},
}

// A Reference is the goal for the exchange by band, in seconds, with u.
type Reference struct {
	ByBand []float64
	U      float64
	Source string
}

// A Constant is a named number that formulas read.
type Constant struct {
	Name   string
	ByBand []float64 // in Unit, one for each band
	U      float64   // in Unit
	Unit   unit.Unit
	Source string
	Line   int
}

// Kind says how a measure is read.
type Kind string

// The kinds of measure.
const (
	Quantity Kind = "quantity"
	YesNo    Kind = "yes-no"
	Grade    Kind = "grade"
)

// A Measure is something seen, timed or read off a video.
type Measure struct {
	Name, Title string
	Kind        Kind
	Unit        unit.Unit // Ratio for yes-no and grade
	Enter       unit.Unit // the unit pages and CSV ask for
	Plausible   [2]float64
	HasRange    bool    // Plausible was stated (a grade's scale counts)
	U           float64 // reading error where an observation states none, in Unit; shared by all reps
	Scale       [2]float64
	Formula     *formula.Program // nil unless derived
	BuiltIn     bool             // not declared in the file
	FromCatch   bool             // timed from the catch: dry and live reps are not timed alike
	Source      string
	Line        int
}

// LimitKind says on which side of a limit the fault lies.
type LimitKind string

// The kinds of limit, named by their keys in the file.
const (
	AtMost  LimitKind = "at_most"
	AtLeast LimitKind = "at_least"
	Between LimitKind = "between"
	MustBe  LimitKind = "must_be"
)

// A Limit bounds a measure for each band, in the measure's unit. AtMost uses
// Hi, AtLeast uses Lo, Between both. Has is false where a band has no limit:
// the fault does not apply there.
type Limit struct {
	Kind   LimitKind
	Lo, Hi []float64
	MustBe bool
	Has    []bool
	Unit   string // in which the file gives it; "": the measure's
	Source string
}

// A Fault is a fault or, with Outcome, something the clock and target show.
type Fault struct {
	Name, Title string
	Outcome     bool
	Measure     int // index into Measures, -1 with When
	Limit       Limit
	When        *formula.Program // nil with Measure
	OnlyIf      *formula.Program // nil: always applies
	Costs       *formula.Program // seconds; nil: none
	Reads       []int            // slots that When and Costs read, sorted, each once
	Measures    []int            // indices of Measure and of what When and Costs read
	Constants   []int            // indices of the constants that When and Costs read
	Rules       []string         // the rule in words, for each band
	Background  float64
	ArmLoad     bool
	Safety      bool
	Cue, Praise string
	Drills      []int // indices into Drills
	Source      string
	Line        int
}

// A Link says that one fault leads to another; indices into Faults.
type Link struct {
	From, To int
	Strength float64
	Because  string
}

// A Pair is two faults of which one causes the other, unsettled which.
type Pair struct {
	First, Second    int
	Weight, Strength float64
	Hold             int // the member kept away in the settling test; -1 unstated
	SettleBy         string
	Because          string
}

// A Drill is something to practise.
type Drill struct {
	Name, Title, How, Dose string
	Throws                 int // throws in one dose
	Minutes                float64
	Places                 int
	Helper                 bool
	Kit                    []string
	Source                 string
	Line                   int
}

// An Example is one of the rubric's own tests: an observation in short and
// what must come out of it.
type Example struct {
	Name   string
	Given  []byte // the observation's JSON: rubric, player and reps filled in
	Faults []string
	Sound  []string
	First  string // "" = not checked
	File   string // where it stands; an extended rubric has its own file
	Line   int
}

// Slots tells where each name lies in the inputs of this rubric's formulas.
type Slots struct {
	Env       *formula.Env
	Measure   int // first of Measures; the others follow in order
	Constant  int // first of Constants
	Condition int // first of the conditions, in their order
	Distance  int // throw_distance, m
	Age       int // years
	Stature   int // m
	Limit     int // the fault's own limit, as formulas see the measure
	Count     int
}

// BandOf finds the band that holds a playing age, -1 if none does.
func (r *Rubric) BandOf(age int) int {
	for i, b := range r.Bands {
		if b.From <= age && age <= b.To {
			return i
		}
	}
	return -1
}

// MeasureNamed finds a measure by name, -1 if there is none.
func (r *Rubric) MeasureNamed(name string) int {
	if i, ok := r.named[name]; ok {
		return i
	}
	return -1
}

// TitleOf is the title of a measure, "" if there is none of that name.
func (r *Rubric) TitleOf(measure string) string {
	if i := r.MeasureNamed(measure); i >= 0 {
		return r.Measures[i].Title
	}
	return ""
}

// FaultNamed finds a fault or outcome by name, -1 if there is none.
func (r *Rubric) FaultNamed(name string) int {
	for i := range r.Faults {
		if r.Faults[i].Name == name {
			return i
		}
	}
	return -1
}

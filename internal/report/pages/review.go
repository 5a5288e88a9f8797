package pages

// Review is what the instructor's page shows: the assessments of one day.
type Review struct {
	Day         string
	More        bool     // there are more than are shown
	Days        []string // other days with assessments, when there are none on this one
	Assessments []Assessed
}

// An Assessed is one assessment with the instructor's word so far.
type Assessed struct {
	ID, Ref, Skill, Rubric, Band string
	Reps                         int
	Revision                     int
	Released                     bool
	Cautions                     []Caution
	Work                         []Correction
	Other                        []Finding // faults and close calls that are not handed out
	Keep                         []string
	Note                         string // the instructor's
	Unconsented                  bool   // no consent of a guardian is recorded
	Drills                       []Titled
}

// A Caution is shown in plain words of the reader's language, where there are
// some, and as it is said, where that adds something.
type Caution struct{ Level, Lead, Says string }

// A Finding is one thing seen, with how sure it is.
type Finding struct {
	Fault, Title string
	Close        bool
	Sure         string // per cent; "" when the chance is not known
	InReps       string
	Rule         string // the rule in words
	Read         string // what was read, with its uncertainty and unit
	Aside        bool
	Reason       string // why it is set aside
}

// A Correction is one thing to work on, as the rubric has it and as the
// instructor hands it out.
type Correction struct {
	Finding
	Cue, Own string // the rubric's words; the instructor's, "" for none
	Drills   []string
	Chosen   string // the instructor's drill, by name; "" for the rubric's choice
	Dropped  bool
	Seconds  string // what the exchange would be with it and those before; "" when not known
}

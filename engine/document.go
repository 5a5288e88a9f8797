package engine

import (
	"rootcue/engine/measure"
	"rootcue/engine/verdict"
	"rootcue/engine/workload"
)

// An Assessment is what the engine answers. Its JSON form is stable: the same
// input and the same rubric bytes give the same bytes. Seconds, metres and
// metres a second unless a key or unit says otherwise; every u is a standard
// uncertainty. Where a number is not known it is null.
type Assessment struct {
	ID        string             `json:"id,omitempty" doc:"Set by the store; absent from a stateless answer"`
	Rubric    RubricID           `json:"rubric" doc:"The rubric that judged"`
	Player    PlayerSeen         `json:"player" doc:"Who was judged, as the rubric sees them"`
	On        string             `json:"on" doc:"Day of the observation, YYYY-MM-DD"`
	Reps      int                `json:"reps" doc:"Reps that count: those in which nothing was held"`
	Cautions  []workload.Caution `json:"cautions" doc:"Cautions, the hardest first; never empty"`
	Measures  MeasuresSeen       `json:"measures" doc:"What was seen, by measure, mean over the reps"`
	Findings  []Finding          `json:"findings" doc:"Faults, then outcomes, in the order of the rubric"`
	Clock     Clock              `json:"clock" doc:"The time lost and what it is made of"`
	Chains    []Chain            `json:"chains" doc:"Each fault that starts something, by the time it gives back"`
	WorkOn    []WorkOn           `json:"work_on" doc:"What to correct first"`
	Keep      []Keep             `json:"keep" doc:"What is already good"`
	Undecided []Undecided        `json:"undecided" doc:"Pairs of faults whose direction is not settled"`
	LookNext  []LookNext         `json:"look_next" doc:"What to look at next time"`
	Notes     []measure.Note     `json:"notes" doc:"What the reader should know about this answer"`
}

// A RubricID names the exact rubric that judged.
type RubricID struct {
	Name    string `json:"name"`
	Version int    `json:"version"`
	SHA256  string `json:"sha256" doc:"Of the rubric file's bytes"`
}

// PlayerSeen is the player as the rubric sees them.
type PlayerSeen struct {
	Ref      string `json:"ref"`
	Band     string `json:"band"`
	Age      int    `json:"age" doc:"Playing age in years"`
	StatureM Number `json:"stature_m" doc:"Standing height, m"`
}

// A MeasureSeen is one measure over the reps.
type MeasureSeen struct {
	Value Number `json:"value"`
	U     Number `json:"u"`
	Unit  string `json:"unit"`
	Reps  int    `json:"reps"`
	From  string `json:"from" doc:"measures, formula, or the marks it was derived from"`
}

// A Finding is the verdict on one fault or outcome.
type Finding struct {
	Fault     string          `json:"fault"`
	Title     string          `json:"title"`
	Verdict   verdict.Verdict `json:"verdict" enum:"fault,close,sound,not-seen,not-applicable"`
	Chance    *Number         `json:"chance,omitempty" doc:"Chance of the fault from its own measure; absent when not seen or not applicable"`
	InContext Number          `json:"in_context" doc:"Chance of the fault in the light of its neighbours"`
	Limit     Limit           `json:"limit" doc:"The limit for the band, in the measure's unit; null with a condition"`
	PastBy    Number          `json:"past_by" doc:"How far past the limit, in the measure's unit; negative inside it"`
	InReps    *string         `json:"in_reps" doc:"Reps past the limit of reps seen, such as 5/6"`
	CostsS    Number          `json:"costs_s" doc:"What it costs if it is there, s"`
	UCostsS   Number          `json:"u_costs_s"`
	Why       Why             `json:"why" doc:"The way back to the rule and its inputs"`
}

// A Limit is a fault's limit for a band; nil pointers are left out.
type Limit struct {
	AtMost  *Number    `json:"at_most,omitempty"`
	AtLeast *Number    `json:"at_least,omitempty"`
	Between *[2]Number `json:"between,omitempty"`
	MustBe  *bool      `json:"must_be,omitempty"`
}

// Why leads from a finding back to the rule, the band and what was read.
type Why struct {
	Rule   string   `json:"rule" doc:"The rule in words"`
	Line   int      `json:"line" doc:"Line of the rule in the rubric file"`
	Source string   `json:"source" doc:"Where the rule's numbers come from"`
	Band   string   `json:"band"`
	Reads  Reads    `json:"reads" doc:"The inputs of the rule, with uncertainty"`
	Clips  []string `json:"clips" doc:"The club's pointers to the footage it was read from"`
}

// Clock is the exchange against its reference. Without an exchange only Parts
// stand, and Seen is false.
type Clock struct {
	Seen          bool   `json:"-"`
	ExchangeS     Number `json:"exchange_s"`
	ReferenceS    Number `json:"reference_s"`
	LostS         Number `json:"lost_s"`
	ULostS        Number `json:"u_lost_s"`
	Parts         []Part `json:"parts"`
	UnexplainedS  Number `json:"unexplained_s"`
	FlightS       Number `json:"flight_s"`
	PopS          Number `json:"pop_s"`
	ThrowSpeedMps Number `json:"throw_speed_mps"`
}

// A Part is one fault's part of the time lost.
type Part struct {
	Fault  string `json:"fault"`
	PriorS Number `json:"prior_s" doc:"chance × cost, before the clock is looked at"`
	S      Number `json:"s" doc:"after reconciling with the clock"`
	U      Number `json:"u"`
}

// A Chain is a fault with what it brings about.
type Chain struct {
	Rank      int             `json:"rank"`
	Root      string          `json:"root"`
	Verdict   verdict.Verdict `json:"verdict" enum:"fault,close,sound,not-seen,not-applicable"`
	RecoversS Number          `json:"recovers_s" doc:"Seconds that come back when the root is fixed"`
	U         Number          `json:"u"`
	Explains  Number          `json:"explains" doc:"How many of the faults seen the root accounts for"`
	Links     []ChainLink     `json:"links"`
}

// A ChainLink is one step from a cause to an effect.
type ChainLink struct {
	From     string `json:"from"`
	To       string `json:"to"`
	Share    Number `json:"share" doc:"Part of the effect's credit that goes to this cause"`
	CarriesS Number `json:"carries_s" doc:"Seconds that pass along the link"`
	Because  string `json:"because"`
}

// WorkOn is one correction handed out.
type WorkOn struct {
	Fault           string      `json:"fault"`
	Cue             string      `json:"cue"`
	Drills          []DrillToDo `json:"drills"`
	ExchangeAfterS  Number      `json:"exchange_after_s" doc:"The exchange with this and the corrections above it made"`
	PopAfterS       Number      `json:"pop_after_s"`
	ChanceOutBefore Number      `json:"chance_out_before"`
	ChanceOutAfter  Number      `json:"chance_out_after"`
}

// A DrillToDo is a drill with its dose.
type DrillToDo struct {
	Drill  string `json:"drill"`
	Title  string `json:"title"`
	How    string `json:"how"`
	Dose   string `json:"dose"`
	Throws int    `json:"throws"`
}

// Keep is something already good.
type Keep struct {
	Item string `json:"item"`
	Says string `json:"says"`
}

// Undecided is a pair of faults of which one causes the other.
type Undecided struct {
	Pair     [2]string `json:"pair"`
	Forward  Number    `json:"forward" doc:"Chance that the first causes the second"`
	SettleBy string    `json:"settle_by"`
}

// LookNext is something to look at next time.
type LookNext struct {
	Fault     string `json:"fault"`
	Measure   string `json:"measure"`
	Suspected Number `json:"suspected"`
	Says      string `json:"says"`
}

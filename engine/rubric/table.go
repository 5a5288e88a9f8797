package rubric

import (
	"math"

	"rootcue/engine/shape"
	"rootcue/engine/unit"
)

// most is how many measures, faults and the like a rubric may have: many more
// than anybody can look for, few enough to compile quickly.
const (
	most      = 250
	mostBands = 50
)

// table is the form of a rubric file: the one place that knows its keys.
var table = shape.Object(
	shape.Need("rubric", "Name", "The name by which observations ask for this rubric.", shape.Named(rubricName)),
	shape.May("extends", "Extends", "Another rubric of the same folder; this file then lists only what differs, and null takes something out.", shape.Named(rubricName)),
	shape.Need("title", "Title", "What the rubric is called on pages.", shape.Str()),
	shape.May("skill", "Skill", "The skill that is judged, such as throwing.", shape.Str()),
	shape.May("cutoff", "Cut-off", "Month and day, MM-DD: playing age is the age on this day of the season's year. 04-30 unless given.", monthDayForm),
	shape.Need("bands", "Bands", "The age groups. Every age belongs to at most one.", shape.MapOf(bandName, bandForm).Sized(1, mostBands)),
	shape.May("conditions", "Conditions", "What holds where an observation does not say: one value for all bands, or one for each.", conditionsForm),
	shape.May("decide", "Decide", "The chances from which a fault counts, or does not.", decideForm),
	shape.May("work_on", "Work on", "The most cues handed to a player at once. 3 unless given.", shape.Whole(1, 20)),
	shape.May("unexplained_u", "Unexplained", "Scatter of the clock that no fault explains, in seconds. 0.05 unless given.", shape.Range(0, 10)),
	shape.May("reference", "Reference", "The goal the clock is compared with.", referenceForm),
	shape.May("constants", "Constants", "Numbers that formulas, conditions and costs read.", shape.MapOf(constantName, constantForm).Sized(0, most)),
	shape.Need("measures", "Measures", "What is seen, timed or read off a video.", shape.MapOf(measureName, measureForm).Sized(1, most)),
	shape.Need("faults", "Faults", "What can be wrong, and what to do about it.", shape.MapOf(faultName, faultForm).Sized(1, most)),
	shape.May("either_way", "Either way", "Pairs of faults of which one causes the other, unsettled which. At most 6.", shape.ListOf(pairForm, 0, 0)),
	shape.May("outcomes", "Outcomes", "What the clock and the target show: faults without cost, cue or drills.", shape.MapOf(faultName, outcomeForm).Sized(0, most)),
	shape.May("drills", "Drills", "What can be practised.", shape.MapOf(drillName, drillForm).Sized(0, most)),
	shape.May("examples", "Examples", "The rubric's own tests: what is seen, and what must come out.", shape.ListOf(exampleForm, 0, 0)),
).Def("rubric", "Coaching rubric", "What counts, where the limits lie for each age band, what leads to what and what it costs.")

var (
	monthDayForm = shape.Matching(`^(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$`, "a month and a day, such as 04-30")
	dateForm     = shape.Matching(`^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$`, "a date, such as 2026-05-09")
	source       = shape.May("source", "Source", "Where the numbers come from: a published work, common practice, a starting value.", shape.Str())
	atLeast0     = shape.Range(0, math.Inf(1))

	bandForm = shape.Object(
		shape.Need("ages", "Ages", "First and last playing age, in years, both included.", shape.ListOf(shape.Whole(0, 99), 2, 2)),
	).Def("band", "Band", "An age group.")

	decideForm = shape.Object(
		shape.May("fault_at", "Fault at", "Chance of a fault from which it counts. 0.80 unless given.", shape.Range(0, 1)),
		shape.May("sound_at", "Sound at", "Chance of a fault up to which it is sound. 0.20 unless given.", shape.Range(0, 1)),
	)

	units  = shape.May("unit", "Unit", "The unit of the numbers beside it.", shape.Enum(unit.Names()...))
	spread = shape.May("u", "Uncertainty", "Standard uncertainty, one standard deviation, in the same unit.", atLeast0)

	limitForm    = perBand(shape.Num(), units, source).Def("limit", "Limit", "One number for all bands, or one for each; in the measure's unit unless `unit` says another.")
	intervalForm = perBand(shape.ListOf(shape.Num(), 2, 2), units, source).Def("interval", "Two limits", "[lowest, highest] for all bands, or for each.")
	mustBeForm   = shape.OneOf(shape.YesNo(), shape.Object(
		shape.Need("value", "Value", "The answer that is sound.", shape.YesNo()), source))

	referenceForm = shape.Object(
		shape.Need("exchange_time", "Exchange", "Catch to release, in seconds.", perBand(shape.Num(), spread, units, source)),
	)

	constantForm = perBand(shape.Num(), spread, units, source).Def("constant", "Constant", "A number with its unit, for all bands or for each.")

	measureForm = shape.Object(
		shape.Need("title", "Title", "What the measure is called on pages.", shape.Str()),
		shape.May("kind", "Kind", "quantity unless given; yes-no and grade need no unit.", shape.Enum(string(Quantity), string(YesNo), string(Grade))),
		shape.May("unit", "Unit", "The unit of the measure; stature is a share of standing height.", shape.Enum(unit.Names()...)),
		shape.May("enter", "Enter", "The unit in which pages and CSV ask for it.", shape.Enum(unit.Names()...)),
		shape.May("plausible", "Plausible", "[lowest, highest]: a value outside is refused as a slip.", shape.ListOf(shape.Num(), 2, 2)),
		shape.May("u", "Reading error", "Standard uncertainty where an observation states none; shared by all its reps.", atLeast0),
		shape.May("scale", "Scale", "[lowest, highest] grade.", shape.ListOf(shape.Num(), 2, 2)),
		shape.May("formula", "Formula", "How the measure is worked out from others.", expressionForm),
		source,
	).Def("measure", "Measure", "Something seen, timed or read off a video.")

	expressionForm = shape.OneOf(shape.Str(), shape.Num()).Def("formula", "Formula", "Arithmetic over measures, constants and conditions.")
	conditionForm  = shape.OneOf(shape.Str(), shape.YesNo()).Def("condition", "Condition", "A yes-no expression over measures, constants and conditions.")

	strengthWords = []string{"rarely", "sometimes", "often", "nearly-always"}
	strengthForm  = shape.OneOf(shape.Range(0, 1), shape.Enum(strengthWords...)).Def("strength", "Strength", "A chance: a number from 0 to 1, or rarely 0.1, sometimes 0.3, often 0.6, nearly-always 0.85.")

	drillForm = shape.Object(
		shape.May("title", "Title", "What the drill is called on pages.", shape.Str()),
		shape.May("how", "How", "How it is done.", shape.Str()),
		shape.May("dose", "Dose", "How much of it.", shape.Str()),
		shape.May("throws", "Throws", "Throws in one dose.", shape.Whole(0, 1000)),
		shape.May("minutes", "Minutes", "How long one dose takes.", shape.Range(0, 600)),
		shape.May("places", "Places", "How many can do it at once.", shape.Whole(1, 100)),
		shape.May("helper", "Helper", "Whether it needs a helper.", shape.YesNo()),
		shape.May("kit", "Kit", "What it needs.", shape.ListOf(shape.Str(), 0, 0)),
		source,
	).Def("drill", "Drill", "Something to practise.")
)

// perBand is one value for all bands, or a map of bands; the value of all
// bands may also stand under `value`, beside what else the map may say.
func perBand(value *shape.Shape, beside ...shape.Key) *shape.Shape {
	keys := beside
	if len(beside) > 0 {
		keys = append([]shape.Key{shape.May("value", "Value", "One value for all bands, or one for each.", perBand(value))}, beside...)
	}
	return shape.OneOf(value, shape.MapOf(bandName, value, keys...).Sized(0, mostBands+len(keys)))
}

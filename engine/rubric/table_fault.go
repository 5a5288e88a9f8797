package rubric

import "rootcue/engine/shape"

// judged are the keys that faults and outcomes share.
var judged = []shape.Key{
	shape.Need("title", "Title", "What the fault is called on pages.", shape.Str()),
	shape.May("measure", "Measure", "The measure that shows it; with one limit.", shape.Named(measureName)),
	shape.May("at_most", "At most", "Above is the fault.", limitForm),
	shape.May("at_least", "At least", "Below is the fault.", limitForm),
	shape.May("between", "Between", "Outside is the fault.", intervalForm),
	shape.May("must_be", "Must be", "The answer of a yes-no measure that is sound.", mustBeForm),
	shape.May("when", "When", "A condition that is true where the fault is there; instead of measure and limit.", conditionForm),
	shape.May("only_if", "Only if", "A condition on the circumstances; where it is false the fault does not apply.", conditionForm),
	shape.May("background", "Background", "Chance of the fault with none of its causes. 0.05 unless given.", strengthForm),
	shape.May("leads_to", "Leads to", "What this fault sets off.", shape.MapOf(faultName, linkForm).Sized(0, most)),
	shape.May("praise", "Praise", "What is said when it is sound.", shape.Str()),
	source,
}

var (
	faultForm = shape.Object(append(judged[:len(judged):len(judged)],
		shape.May("costs", "Costs", "Seconds lost to the fault.", expressionForm),
		shape.May("arm_load", "Arm load", "May bear on arm load; needs a source.", shape.YesNo()),
		shape.May("safety", "Safety", "Protects the player.", shape.YesNo()),
		shape.May("cue", "Cue", "A few words to a player who has the fault.", shape.Str()),
		shape.May("drills", "Drills", "Drills that help.", shape.ListOf(shape.Named(drillName), 0, 0)),
	)...).Def("fault", "Fault", "Something that can be wrong.")

	outcomeForm = shape.Object(judged...).
			Refuse("an outcome is only what the clock and the target show; move it to faults to give it this", "costs", "cue", "drills", "arm_load", "safety").
			Def("outcome", "Outcome", "What the clock and the target show.")

	linkForm = shape.Object(
		shape.Need("strength", "Strength", "The chance that this alone brings it about.", strengthForm),
		shape.Need("because", "Because", "Why, in one plain sentence.", shape.Str()),
		source,
	).Def("link", "Link", "One fault leads to another.")

	pairForm = shape.Object(
		shape.Need("between", "Between", "The two faults; weight is the chance that the first causes the second.", shape.ListOf(shape.Named(faultName), 2, 2)),
		shape.Need("weight", "Weight", "Prior weight of the direction as written.", shape.Range(0, 1)),
		shape.Need("strength", "Strength", "The chance that the one alone brings the other about.", strengthForm),
		shape.May("hold", "Hold", "The one of the two kept away in the settling test.", shape.Named(faultName)),
		shape.May("settle_by", "Settle by", "What to do to find out.", shape.Str()),
		shape.May("because", "Because", "Why they go together.", shape.Str()),
		source,
	).Def("pair", "Pair", "Two faults of which one causes the other.")
)

// conditions holds the defaults of the circumstances.
var conditionsForm = shape.Object(
	shape.May("base_path", "Base path", "Length of the base path, with its unit.", perBand(shape.Num(), units)),
	shape.May("throw_to", "Throw to", "The base thrown to.", words(ThrowTo)),
	shape.May("ball", "Ball", "live: pitched or tossed; dry: no catch.", words(Ball)),
	shape.May("stance", "Stance", "How the catcher sets up.", words(Stance)),
	shape.May("pitch", "Pitch", "Where the pitch was.", words(Pitch)),
	shape.May("batter", "Batter", "The side the batter stands on.", words(Batter)),
	shape.May("runner_may_lead", "Runner may lead", "Whether the rules let the runner lead.", perBand(shape.YesNo())),
	shape.May("thrown", "Thrown", "Whether the ball was let go.", perBand(shape.YesNo())),
).Def("conditions", "Conditions", "The circumstances of a rep.")

func words(c Condition) *shape.Shape { return perBand(shape.Enum(Enumerations[c]...)) }

// The examples. What is given is an observation in short.
var (
	valueForm = shape.OneOf(shape.Num(), shape.YesNo(), shape.Object(
		shape.Need("value", "Value", "The value.", shape.OneOf(shape.Num(), shape.YesNo())),
		spread, units)).Def("value", "Value", "A number in the measure's unit, true or false, or a value with unit and uncertainty.")
	seenMeasuresForm = shape.MapOf(measureName, valueForm).Sized(0, most)
	seenInForm       = shape.Object(
		shape.May("base_path", "Base path", "Length of the base path, with its unit.", valueForm),
		shape.May("throw_to", "Throw to", "The base thrown to.", shape.Enum(Enumerations[ThrowTo]...)),
		shape.May("ball", "Ball", "live or dry.", shape.Enum(Enumerations[Ball]...)),
		shape.May("stance", "Stance", "How the catcher sets up.", shape.Enum(Enumerations[Stance]...)),
		shape.May("pitch", "Pitch", "Where the pitch was.", shape.Enum(Enumerations[Pitch]...)),
		shape.May("batter", "Batter", "The side the batter stands on.", shape.Enum(Enumerations[Batter]...)),
		shape.May("runner_may_lead", "Runner may lead", "Whether the runner may lead.", shape.YesNo()),
		shape.May("thrown", "Thrown", "Whether the ball was let go.", shape.YesNo()),
	).Def("seen-in", "Conditions", "The circumstances seen.")

	repForm = shape.Object(
		shape.May("rep", "Rep", "Its number.", shape.Whole(1, 100000)),
		shape.May("clip", "Clip", "A pointer to the footage.", shape.Str()),
		shape.May("conditions", "Conditions", "The circumstances of this rep.", seenInForm),
		shape.May("measures", "Measures", "What was seen.", seenMeasuresForm),
		shape.May("marks", "Marks", "Points and frames read off a video.", shape.Any()),
		shape.May("held", "Held", "Faults the thrower was kept from.", shape.ListOf(shape.Named(faultName), 0, 0)),
	)

	exampleForm = shape.Object(
		shape.Need("name", "Name", "What the example shows.", shape.Str()),
		shape.Need("given", "Given", "What is seen.", shape.Object(
			shape.Need("age", "Age", "Playing age in years.", shape.Whole(0, 99)),
			shape.May("stature_cm", "Stature", "Standing height in cm.", shape.Range(50, 250)),
			shape.May("throws", "Throws", "The throwing hand.", shape.Enum("right", "left")),
			shape.May("on", "On", "The date, YYYY-MM-DD.", dateForm),
			shape.May("conditions", "Conditions", "The circumstances of all reps.", seenInForm),
			shape.May("measures", "Measures", "What was seen in the one rep.", seenMeasuresForm),
			shape.May("reps", "Reps", "Several reps, instead of measures.", shape.ListOf(repForm, 1, 0)),
		)),
		shape.Need("expect", "Expect", "What must come out.", shape.Object(
			shape.May("faults", "Faults", "Faults and outcomes that must be among the faults.", shape.ListOf(shape.Named(faultName), 0, 0)),
			shape.May("sound", "Sound", "Faults and outcomes that must be sound.", shape.ListOf(shape.Named(faultName), 0, 0)),
			shape.May("first", "First", "The fault to work on first.", shape.Named(faultName)),
		)),
	).Def("example", "Example", "One of the rubric's own tests.")
)

// Schema is the JSON Schema (draft 2020-12) of a rubric file. The bytes are
// always the same.
func Schema() []byte { return table.Schema("rubric.schema.json", "extends") }

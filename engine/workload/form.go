package workload

import "rootcue/engine/shape"

var (
	agesForm  = shape.ListOf(shape.Whole(0, 99), 2, 2)
	levelForm = shape.Enum(Levels...)
	countForm = shape.Whole(0, 999)
	// In a plain YAML scalar a date is text.
	dateForm = shape.Matching(`^[0-9]{4}-[0-9]{2}-[0-9]{2}$`, "a date written YYYY-MM-DD")
)

const (
	agesText       = "The first and the last playing age in years, both included."
	levelText      = "How hard the rules of this row are: stop unless given. Only stop and limit forbid; watch and note are said."
	lastBatterText = "True where the first pitch to a batter fixes what a day's count means: pitches to finish the last batter are not counted, except for the most a day. Needs the ledger's count_at_last_batter."
)

// form is what a policy file may hold.
var form = shape.Object(
	shape.Need("policy", "Name", "The name by which the policy is asked for.", shape.Matching(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`, "a name of lower-case words joined by -")),
	shape.Need("title", "Title", "The name for people.", shape.Str()),
	shape.Need("source", "Source", "Where the numbers come from.", sourceForm),
	shape.May("age_on", "Cut-off", "MM-DD: a player's age is the age on this day of the season's year. Needed where only a month of birth is known.", shape.Matching(`^[0-9]{2}-[0-9]{2}$`, "a day of the year written MM-DD")),
	shape.May("pitching", "Pitching", "Rules on pitching, a row for each group of ages.", shape.ListOf(pitchingForm, 1, 50)),
	shape.May("catching", "Catching", "Rules on catching and pitching the same day.", shape.ListOf(catchingForm, 1, 50)),
	shape.May("throwing", "Throwing", "Rules on throws of every kind, pitches among them.", shape.ListOf(throwingForm, 1, 50)),
	shape.May("examples", "Examples", "The policy's own tests.", shape.ListOf(exampleForm, 0, 0)),
).Some("pitching", "catching", "throwing")

var sourceForm = shape.Object(
	shape.Need("by", "By", "Who publishes the rules.", shape.Str()),
	shape.Need("edition", "Edition", "Which edition, as a text.", shape.Str()),
	shape.Need("read", "Read", "The date on which it was read.", dateForm),
	shape.May("note", "Note", "Anything else about the source.", shape.Str()),
)

var pitchingForm = shape.Object(
	shape.Need("ages", "Ages", agesText, agesForm),
	shape.May("level", "Level", levelText, levelForm),
	shape.May("most_a_day", "Most a day", "The most pitches in a day.", countForm),
	shape.May("rest", "Rest", "Full calendar days off by the day's pitches. A count above the last tier takes the last tier's days.", shape.ListOf(tierForm, 1, 20)),
	shape.May("innings_in_12_months", "Innings in 12 months", "The most innings pitched in any 12 months.", shape.Range(0, 2000)),
	shape.May("days_running", "Days running", "The most days running on which a player may pitch.", shape.Whole(1, 14)),
	shape.May("months_off", "Months off", "Time without throwing in 12 months; a month is 30 days.", monthsForm),
	shape.May("last_batter", "Last batter", lastBatterText, shape.YesNo()),
)

var tierForm = shape.Object(
	shape.Need("to", "To", "The most pitches of this tier.", shape.Whole(1, 999)),
	shape.Need("days", "Days", "Full calendar days off after it.", shape.Whole(0, 60)),
)

var monthsForm = shape.Object(
	shape.Need("in_12", "In 12", "Months off in 12 months.", shape.Range(0, 12)),
	shape.May("running", "Running", "How many of them together.", shape.Range(0, 12)),
	shape.May("level", "Level", "How hard this rule is: as the row unless given.", levelForm),
)

var catchingForm = shape.Object(
	shape.Need("ages", "Ages", agesText, agesForm),
	shape.May("level", "Level", levelText, levelForm),
	shape.May("none_that_day_after_pitches", "No catching after pitches", "Pitched so many or more: no catching that day.", shape.Whole(1, 999)),
	shape.May("no_pitching_that_day_after_innings", "No pitching after innings", "Caught in so many innings or more: no pitching that day. Part of an inning counts as one.", shape.Whole(1, 99)),
	shape.May("no_return_after", "No return", "Caught in so many innings and pitched so many: no more catching that day.", shape.Object(
		shape.Need("innings_caught", "Innings caught", "Caught in so many innings or more.", shape.Whole(1, 99)),
		shape.Need("pitches", "Pitches", "Pitched so many or more.", shape.Whole(1, 999)),
	)),
	shape.May("last_batter", "Last batter", lastBatterText, shape.YesNo()),
)

var throwingForm = shape.Object(
	shape.Need("ages", "Ages", agesText, agesForm),
	shape.May("level", "Level", levelText, levelForm),
	shape.May("most_a_day", "Most a day", "The most throws of every kind in a day.", countForm),
)

// cellForm is a cell of a ledger, as text or as a number.
var cellForm = shape.OneOf(shape.Str(), shape.Range(0, 9999), shape.YesNo())

var exampleForm = shape.Object(
	shape.Need("name", "Name", "What the example shows.", shape.Str()),
	shape.May("age", "Age", "The player's playing age in years.", shape.Whole(0, 99)),
	shape.May("born", "Born", "The month of birth, YYYY-MM, in place of the age.", shape.Matching(`^[0-9]{4}-[0-9]{2}$`, "a month written YYYY-MM")),
	shape.Need("on", "On", "The day asked about.", dateForm),
	shape.Need("ledger", "Ledger", "What is recorded: objects with the columns of a ledger.", shape.ListOf(shape.Object(
		shape.Need("date", "Date", "When.", dateForm),
		shape.Need("kind", "Kind", "What.", shape.Enum(Kinds...)),
		shape.May("count", "Count", "How many; left out = unknown.", cellForm),
		shape.May("game", "Game", "Which game of the day.", cellForm),
		shape.May("pain", "Pain", "Whether pain was reported.", cellForm),
		shape.May("note", "Note", "Anything else.", shape.Str()),
		shape.May("count_at_last_batter", "Count at the last batter", "Pitches thrown before the last batter's first.", cellForm),
		shape.May("where", "Where", "For which team.", cellForm),
	), 0, 0)),
	shape.Need("expect", "Expect", "What the answers must be.", shape.Object(
		shape.May("pitching", "Pitching", "The answer on pitching.", expectForm),
		shape.May("catching", "Catching", "The answer on catching.", expectForm),
		shape.May("throwing", "Throwing", "The answer on throwing.", expectForm),
	)),
).Some("age", "born")

var expectForm = shape.Object(
	shape.May("answer", "Answer", "yes, no, unknown or no-rule.", shape.Enum(Answers...)),
	shape.May("left", "Left", "How many are left.", countForm),
	shape.May("next_day", "Next day", "The first day, this one included, on which the answer is yes.", dateForm),
	shape.May("rule", "Rule", "The rule that decides.", shape.Str()),
)

// Schema is the JSON Schema (draft 2020-12) of policy files, for editors.
func Schema() []byte { return form.Schema("urn:rootcue:policy", "") }

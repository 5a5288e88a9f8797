package api

import (
	"slices"

	"github.com/danielgtaylor/huma/v2"

	"rootcue/engine/marks"
	"rootcue/engine/observation"
	"rootcue/engine/rubric"
	"rootcue/engine/unit"
	"rootcue/engine/workload"
)

// observationSchema describes what observation.Decode reads.
func observationSchema(r schemas) *huma.Schema {
	return named(r, "Observation", func() *huma.Schema {
		return object("What an evaluator saw of one player on one day. A key that is absent or null was not seen.", observationKeys(r)...)
	})
}

func observationKeys(r schemas) []key {
	return []key{
		may{"rubric", shortText("The rubric to judge by; it may be left out only where the caller names one beside the document")},
		need{"player", object("Who was seen",
			need{"ref", shortText("The club's own reference of the player; no name is needed")},
			may{"age", within(1, 99, whole("Playing age in whole years; this or born must be given"))},
			may{"born", &huma.Schema{Type: huma.TypeString, Pattern: `^\d{4}-(0[1-9]|1[0-2])$`, Description: "Month of birth, YYYY-MM; the rubric's cut-off gives the playing age"}},
			may{"stature_cm", within(70, 230, number("Standing height in cm; the published median for the age when left out"))},
			may{"stature_on", date("When the height was taken")},
			may{"throws", oneWord("The throwing hand", "left", "right")})},
		need{"on", date("The day of the observation")},
		may{"rater", shortText("The evaluator's reference")},
		may{"session", shortText("What ties documents together")},
		may{"conditions", conditionsRef(r)},
		need{"reps", atMost(observation.MostReps, list("The throws, or balls received or blocked, in any order", repRef(r)))},
	}
}

func repRef(r schemas) *huma.Schema {
	return named(r, "Rep", func() *huma.Schema {
		return object("One throw, or one ball received or blocked",
			need{"rep", atLeast(0, whole("Its number; each number once"))},
			may{"clip", shortText("The club's pointer to the footage; it is carried through, never opened")},
			may{"conditions", conditionsRef(r)},
			may{"measures", mapOf("What was measured, by the rubric's names of measures; null was not seen", orNull(readingRef(r)))},
			may{"marks", either("Points and frames read off a video: one camera, or a list of them", cameraRef(r), list("Cameras", cameraRef(r)))},
			may{"held", list("Faults the thrower was kept from in this rep", text("A fault's name"))})
	})
}

func readingRef(r schemas) *huma.Schema {
	return named(r, "Reading", func() *huma.Schema {
		return either("A number in the measure's own unit, true or false, or a quantity",
			number("In the measure's own unit"), yesNo("Of a yes-no measure"),
			object("A quantity", may{"value", number("The value; null was not seen")}, may{"u", atLeast(0, number("Standard uncertainty, one standard deviation, same unit"))}, may{"unit", oneWord("Its unit; the measure's own when left out", unit.Names()...)}))
	})
}

func conditionsRef(r schemas) *huma.Schema {
	says := map[string]string{
		"base_path": "Length of the base path; a bare number is in the rubric's unit", "throw_to": "The base thrown to", "ball": "live = pitched or tossed, dry = no catch",
		"stance": "The stance", "pitch": "Where the pitch came", "batter": "Where a batter stood", "runner_may_lead": "Whether runners may lead off", "thrown": "false = the ball was not let go",
	}
	return named(r, "Conditions", func() *huma.Schema {
		keys := []key{}
		for i, name := range rubric.ConditionNames {
			s := yesNo(says[name])
			if words := rubric.Enumerations[i]; words != nil {
				s = oneWord(says[name], words...)
			} else if rubric.Condition(i) == rubric.BasePath {
				s = either(says[name], number("In the rubric's unit"), object("A length", need{"value", number("The length")}, may{"u", atLeast(0, number("Standard uncertainty"))}, may{"unit", oneWord("Its unit", unit.Names()...)}))
			}
			keys = append(keys, may{name, s})
		}
		return object("The circumstances, of the document or of one rep (the rep's win); what is left out takes the rubric's default", keys...)
	})
}

func cameraRef(r schemas) *huma.Schema {
	pair := func(says string) *huma.Schema { return fixedList(says, 2, number("px")) }
	return named(r, "Camera", func() *huma.Schema {
		return object("What was read off one camera's picture; x to the right, y down, in pixels",
			may{"view", oneWord("Where the camera stands; side when left out", marks.Views...)},
			may{"fps", number("Frames a second")},
			may{"toward", oneWord("The side of the picture on which the target lies", "left", "right")},
			may{"picture", pair("Width and height of the picture, px")},
			may{"scale", object("A length in the picture", need{"from", pair("One end, px")}, need{"to", pair("The other end, px")},
				need{"length", object("How long it is", need{"value", number("The length")}, may{"u", atLeast(0, number("Standard uncertainty"))}, need{"unit", oneWord("Its unit", "m", "cm", "mm", "ft", "in")})})},
			may{"u_px", within(0, 1000, number("Standard uncertainty of a coordinate, px"))},
			may{"frames", byMoment("Frames, by moment", atLeast(0, whole("Frame number")))},
			may{"times", byMoment("Times on the clip's clock, by moment, in place of frames", number("s"))},
			may{"points", byMoment("Points, by moment", byName("Points", marks.Joints, pair("x and y, px")))},
			may{"keypoints", byMoment("A person's 17 points in COCO order, by moment: x, y, v each", fixedList("51 numbers", 51, number("")))},
			may{"track", mapOf("A clip's persons by frame number: 51 numbers, or 54 when the ball's x, y, v follow", list("51 or 54 numbers", number("")))})
	})
}

func byMoment(says string, value *huma.Schema) *huma.Schema {
	return byName(says, marks.Moments, value)
}

func byName(says string, names []string, value *huma.Schema) *huma.Schema {
	s := object(says)
	for _, name := range names {
		one := *value
		may{name, &one}.put(s)
	}
	return s
}

// assessRequestSchema is an observation with the arm's record beside it.
func assessRequestSchema(r schemas) *huma.Schema {
	return named(r, "AssessRequest", func() *huma.Schema {
		keys := append(observationKeys(r),
			may{"ledger", list("The player's arm ledger; an empty list says that nothing is recorded", entryRef(r))},
			may{"policies", list("The workload policies in force", text("A policy's name"))})
		return object("An observation, and what is known of the player's arm beside it", keys...)
	})
}

func entryRef(r schemas) *huma.Schema {
	cell := func(says string) *huma.Schema { return either(says, number("As a number"), text("As a text")) }
	return named(r, "LedgerEntry", func() *huma.Schema {
		return object("One line of an arm ledger, with the keys of the CSV's columns",
			need{"date", date("The day")},
			need{"kind", oneWord("What is recorded", slices.Clone(workload.Kinds)...)},
			may{"count", cell("How many pitches, throws, innings (thirds as .1 and .2) or days off; null or empty = not known")},
			may{"game", cell("Which game of the day; empty = the day's one game")},
			may{"pain", either("Whether pain was reported", yesNo("true or false"), oneWord("yes or no", "yes", "no", ""))},
			may{"note", text("A note, such as the role of who cleared the player")},
			may{"count_at_last_batter", cell("Pitches thrown before the last batter's first pitch")},
			may{"where", text("For which team")})
	})
}

// workloadRequestSchema describes what workload.DecodeRequest reads.
func workloadRequestSchema(r schemas) *huma.Schema {
	return named(r, "WorkloadRequest", func() *huma.Schema {
		return object("A question about one arm and one day",
			need{"policy", either("The policies in force", text("A name, or names separated by commas"), list("Names", text("A policy's name")))},
			may{"age", within(0, 99, whole("Playing age in years; this or born must be given"))},
			may{"born", &huma.Schema{Type: huma.TypeString, Pattern: `^\d{4}-(0[1-9]|1[0-2])$`, Description: "Month of birth, YYYY-MM; each policy's own cut-off gives the age"}},
			need{"on", date("The day asked about")},
			may{"throws", within(0, workload.MostPlanned, whole("So many more throws are planned that day: `if_throws_today` says what they would come to"))},
			may{"ledger", list("What was recorded", entryRef(r))})
	})
}

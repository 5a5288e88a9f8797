package workload

// A Caution is a warning that no ranking may take away.
type Caution struct {
	Code   string     `json:"code"`
	Level  Level      `json:"level"`
	Stops  []Activity `json:"stops"` // what must not be done
	Says   string     `json:"says"`
	Source string     `json:"source"`
}

// all is what pain and blows stop.
var all = []Activity{Throwing, Catching, Pitching}

const tradeSource = "common practice"

// Standing is in every answer, with nothing to flag too.
var Standing = Caution{"standing", Note, []Activity{},
	"This is coaching information, not medical advice, and clears nobody to play. League rules, the governing body's limits, and a licensed clinician or athletic trainer come first.", tradeSource}

// Advice is the standing advice on pain, blows, heat, gear and data, for pages
// and field sheets.
var Advice = []Caution{
	Standing,
	{"advice-pain", Note, []Activity{}, "Pain, numbness or tingling, swelling, a pop felt, locking or lost range: stop throwing and catching, tell the parent or guardian today, no corrections, no return until a licensed clinician clears it. " +
		"Growth plates are open at these ages: pain in a growing player is never normal soreness.", tradeSource},
	{"advice-tired", Note, []Activity{}, "Tired: no more throwing that day. Pitching often while tired went with far more arm injuries (7.88 times, 3.88 to 15.99).", "Yang et al. 2014"},
	{"advice-blow", Note, []Activity{}, "A blow to head, mask or neck: out at once, no return that day, clearance as local law and the league require. Collapse after a blow to the chest: call the emergency number, start CPR, use the AED; know where it is.", tradeSource},
	{"advice-joints", Note, []Activity{}, "Knee, hip or back pain ends blocking and work from a low stance.", tradeSource},
	{"advice-heat", Note, []Activity{}, "Heat: gear off between turns, shade, water, and the league's heat rules.", tradeSource},
	noCatcherLimit,
	{"advice-evidence", Note, []Activity{}, "Evidence on catching and injury is mixed: associated in some studies (pitchers who also catch 2.9 times, 1.03 to 8.12, Hibberd 2018), not in others (Yang 2014). " +
		"More than 100 innings pitched a year: 3.5 times (1.16 to 10.44, Fleisig 2011). A mark that a fault bears on arm load is a coaching opinion, not a medical finding.", "Hibberd 2018; Yang 2014; Fleisig 2011"},
	{"advice-new-arm-path", Note, []Activity{}, "New arm paths: dry, at half effort, at most 15 a session, after a warm-up. Over- or underweight balls and sets at full effort: only under a clinician or a qualified specialist.", tradeSource},
	{"advice-gear", Note, []Activity{}, "Live drills: helmet and mask, throat guard, chest protector (to the heart-impact standard NOCSAE ND200 where required, advised at every age), shin guards, protective cup as the league requires, catcher's mitt, all checked for fit. " +
		"One throwing direction, the receiver looking, nobody in the lane, a helmet on any stand-in batter.", tradeSource},
	{"advice-children", Note, []Activity{}, "Children's data: references, not names; film and keep only with a guardian's written consent, date and scope recorded, on club devices, never posted; two adults present; messages go to the guardian; local children's privacy law applies.", tradeSource},
}

var noCatcherLimit = Caution{"no-catcher-limit", Note, []Activity{}, "No published limit for a catcher's throws exists.", tradeSource}

var otherTeams = Caution{"other-teams", Note, []Activity{}, "Throws for other teams, at school or at home are not known here unless they are recorded.", tradeSource}

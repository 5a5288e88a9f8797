package picture

import "math"

// A Reading is one measure with what is wanted of it.
type Reading struct {
	Measure string
	Value   float64 // in the measure's unit; lengths of the body in shares of stature
	U       float64 // standard uncertainty, 0 if none is known
	Lo, Hi  float64 // wanted between; ±Inf where an end is open
	Share   bool    // Value, Lo and Hi are shares of stature
	Words   Words
}

// Words are the texts in a drawing, in the reader's language.
type Words struct {
	Seen   string // label of what was measured, such as "seen 16 cm"
	Wanted string // label of where it is wanted
	Mark   string // label of the line that is measured from: "shoulder", "ear"
	Target string
}

// open reports an end of the wanted range that does not bind.
func open(x float64) bool { return math.IsInf(x, 0) }

// clampTo keeps a wanted end or a value inside what the drawing can show.
func clampTo(x, lo, hi float64) float64 { return math.Min(math.Max(x, lo), hi) }

// scenes are the drawings made for well-known measures. Those whose numbers
// are lengths on the body need shares of stature.
var scenes = map[string]struct {
	share, bar bool
	draw       func(Reading) Drawing
}{
	"hip_height_set":        {true, false, hipInCrouch},
	"hip_height_transfer":   {true, false, hipInCrouch},
	"hip_height_plant":      {true, false, hipInCrouch},
	"foot_stagger_set":      {true, false, stagger},
	"hand_height_set":       {true, false, bareHand},
	"transfer_height":       {true, false, ballAtChange},
	"ball_drop":             {true, false, ballFalls},
	"drawback":              {true, false, ballBehindEar},
	"elbow_height_release":  {true, false, elbowFromBehind},
	"stride_length":         {true, false, stride},
	"shoulder_turn_set":     {false, false, shouldersFromAbove},
	"front_shoulder_open":   {false, false, openFromAbove},
	"first_step_off_line":   {false, false, stepFromAbove},
	"stride_off_line":       {false, false, stepFromAbove},
	"knee_bend_plant":       {false, false, kneeBend},
	"front_knee_bend_plant": {false, false, kneeBend},
	"change_time":           {false, true, timeBar},
	"feet_lag":              {false, true, timeBar},
	"landing_time":          {false, true, timeBar},
	"plant_to_release":      {false, true, timeBar},
	"exchange_time":         {false, true, timeBar},
	"pop_time":              {false, true, timeBar},
}

// Of draws a reading: the scene made for its measure, else a number line.
func Of(r Reading) Drawing {
	s, known := scenes[r.Measure]
	if !known || s.share != r.Share || math.IsNaN(r.Value) {
		return NumberLine(r)
	}
	return s.draw(r)
}

// IsBody reports a reading that Of draws on a body, and not as a bar or a line.
func IsBody(r Reading) bool {
	s, known := scenes[r.Measure]
	return known && s.share == r.Share && !math.IsNaN(r.Value) && !s.bar
}

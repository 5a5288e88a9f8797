package formula

import "math"

// testEnv holds some names of a throwing rubric, and one function beside the
// built-in ones.
var testEnv = &Env{
	Names: []Name{
		{Name: "stride_length"},
		{Name: "stature"},
		{Name: "hip_height_set"},
		{Name: "hand_speed"},
		{Name: "hand_protected", Kind: Bool},
		{Name: "runner_may_lead", Kind: Bool},
		{Name: "ball", Kind: Enum, Values: []string{"live", "dry"}},
		{Name: "pitch", Kind: Enum, Values: []string{"strike", "high", "low", "dirt"}},
	},
	Funcs: []Func{
		{Name: "flight_time", Arity: 2, Call: flightTime},
		{Name: "goal", Call: func(*Inputs, [3]float64) (float64, bool) { return 2.0, true }},
	},
}

// flightTime is distance through speed, and not seen when the throw does not
// carry: below 1 m/s here.
func flightTime(_ *Inputs, a [3]float64) (float64, bool) {
	if a[0] < 1 {
		return math.Inf(1), false
	}
	return a[1] / a[0], true
}

const (
	strideLength = iota
	stature
	hipHeight
	handSpeed
	handProtected
	mayLead
	ball
	pitch
)

// given makes inputs in which only the values given are seen.
func given(values map[int]float64) *Inputs {
	n := len(testEnv.Names)
	in := &Inputs{X: make([]float64, n), Seen: make([]bool, n)}
	for i := range in.X {
		in.X[i] = 77 // must not matter
	}
	for slot, v := range values {
		in.X[slot], in.Seen[slot] = v, true
	}
	return in
}

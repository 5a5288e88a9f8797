package flight

// ageBand holds the race's starting values for the ages up to and including to.
type ageBand struct {
	to                         int
	basePathFt, leadFt, topFps float64
	leads                      bool // whether the runner may lead
}

var ageBands = [...]ageBand{
	{10, 60, 8, 17, false},
	{12, 70, 8, 19, true},
	{14, 80, 10, 22, true},
	{18, 90, 10, 25, true},
}

const foot = 0.3048 // m

// topSpeedSpread is the relative standard uncertainty of a default top speed.
const topSpeedSpread = 0.08

// RunnerFor is the default runner of a playing age from 8 to 18 and whether
// that runner may lead: starting values, for the instructor to edit. Where the
// runner may not lead, the lead still holds for rule sets that allow it. An
// error is a *RangeError.
func RunnerFor(age int) (r Runner, leads bool, err error) {
	if slip := within("age", float64(age), 8, 18, "years"); slip != nil {
		return Runner{}, false, slip
	}
	band := ageBands[len(ageBands)-1]
	for i := len(ageBands) - 1; i >= 0 && age <= ageBands[i].to; i-- {
		band = ageBands[i]
	}
	return Runner{
		BasePath: Amount{Value: band.basePathFt * foot},
		Lead:     Amount{Value: band.leadFt * foot},
		TopSpeed: Amount{Value: band.topFps * foot, U: topSpeedSpread * band.topFps * foot},
		Tau:      DefaultTau,
		Reaction: DefaultReaction,
	}, band.leads, nil
}

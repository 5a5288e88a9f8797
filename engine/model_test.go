package engine_test

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// A model works a trial out again from the rules written down, as plainly as it
// can: no shared code, no cleverness, every state of the network in turn.
type model struct {
	*trial
	verdict []string
	chance  []float64 // NaN when not seen or not applicable
	cost    []float64 // NaN without
	uCost   []float64
	past    [][2]int // reps past the limit, reps judged

	network *modelNetwork
	clock   modelClock
	secs    []float64
	flowed  modelFlow // of the seconds
	units   modelFlow // of one unit × chance
}

func newModel(d *trial) *model {
	n := len(d.faults)
	m := &model{trial: d, verdict: make([]string, n), chance: make([]float64, n), cost: make([]float64, n), uCost: make([]float64, n), past: make([][2]int, n)}
	for i := range d.faults {
		m.judge(i)
	}
	m.network = newModelNetwork(m, make([]int, n))
	m.clock = newModelClock(m)
	m.secs = make([]float64, n)
	for k, i := range m.clock.fault {
		m.secs[i] = m.clock.x[k]
	}
	units := make([]float64, n)
	for i, p := range m.chance {
		if !math.IsNaN(p) {
			units[i] = p
		}
	}
	m.flowed, m.units = m.network.flow(m.secs, nil), m.network.flow(units, nil)
	return m
}

// free tells whether a rep counts.
func (r *trialRep) free() bool { return r.held < 0 }

func (m *model) judge(i int) {
	f := &m.faults[i]
	m.chance[i], m.cost[i] = math.NaN(), math.NaN()
	var in []trialReading
	free, letIn := 0, 0
	for k := range m.reps {
		r := &m.reps[k]
		if !r.free() {
			continue
		}
		free++
		if f.notInDirt && r.dirt {
			continue
		}
		letIn++
		if r.values[i].seen {
			in = append(in, r.values[i])
		}
	}
	switch {
	case free > 0 && letIn == 0:
		m.verdict[i] = "not-applicable"
		return
	case len(in) == 0:
		m.verdict[i] = "not-seen"
		return
	}
	for _, v := range in {
		m.past[i][1]++
		if f.wrong(v) {
			m.past[i][0]++
		}
	}
	y, own, shared := meanOf(in)
	m.chance[i] = f.chanceOf(y, math.Hypot(own, shared), m.past[i][0], m.past[i][1])
	m.verdict[i] = "close"
	if m.chance[i] >= 0.8 {
		m.verdict[i] = "fault"
	} else if m.chance[i] <= 0.2 {
		m.verdict[i] = "sound"
	}
	m.costOf(i, y, own, shared)
}

func (f *trialFault) wrong(v trialReading) bool {
	switch f.kind {
	case "at_most":
		return v.x > f.hi
	case "at_least":
		return v.x < f.lo
	case "between":
		return v.x > f.hi || v.x < f.lo
	}
	return !v.yes
}

// meanOf is the mean with its independent and its shared uncertainty.
func meanOf(in []trialReading) (y, own, shared float64) {
	n := float64(len(in))
	for _, v := range in {
		y += v.x / n
	}
	internal, external := 0.0, 0.0
	for _, v := range in {
		if v.byEye {
			shared += eyeU / n
		} else {
			internal += v.u * v.u / n / n
		}
		if n > 1 {
			external += (v.x - y) * (v.x - y) / (n - 1) / n
		}
	}
	return y, math.Sqrt(math.Max(internal, external)), shared
}

func (f *trialFault) chanceOf(y, u float64, wrong, of int) float64 {
	below := func(limit float64) float64 { // that the true value is below the limit
		if u == 0 {
			return map[bool]float64{true: 1}[y < limit]
		}
		return distuv.Normal{Mu: y, Sigma: u}.CDF(limit)
	}
	above := func(limit float64) float64 {
		if u == 0 {
			return map[bool]float64{true: 1}[y > limit]
		}
		return distuv.Normal{Mu: y, Sigma: u}.Survival(limit)
	}
	switch f.kind {
	case "at_most":
		return above(f.hi)
	case "at_least":
		return below(f.lo)
	case "between":
		return below(f.lo) + above(f.hi)
	}
	return 1 - distuv.Beta{Alpha: float64(wrong) + 0.5, Beta: float64(of-wrong) + 0.5}.CDF(0.5)
}

// costOf is the cost at the mean, and its uncertainty by central differences
// over the private and shared error of the measure and that of the constant.
func (m *model) costOf(i int, y, own, shared float64) {
	f := &m.faults[i]
	excess := func(y, rate float64) float64 {
		switch f.kind {
		case "at_most":
			return math.Max(0, (y-f.hi)*rate)
		case "at_least":
			return math.Max(0, (f.lo-y)*rate)
		}
		limit := f.hi
		if mean, _, _ := m.meanSeen(i); mean-f.lo < f.hi-mean {
			limit = f.lo
		}
		return math.Abs(y-limit) * rate
	}
	switch f.cost {
	case "fixed":
		m.cost[i], m.uCost[i] = fixed, fixedU
	case "excess":
		half := func(dy, dr float64) float64 { return (excess(y+dy, rate+dr) - excess(y-dy, rate-dr)) / 2 }
		m.cost[i] = excess(y, rate)
		m.uCost[i] = math.Sqrt(math.Pow(half(own, 0), 2) + math.Pow(half(shared, 0), 2) + math.Pow(half(0, rateU), 2))
	}
}

// meanSeen is the mean of a fault's measure over the reps it is judged in.
func (m *model) meanSeen(i int) (y, own, shared float64) {
	var in []trialReading
	for k := range m.reps {
		if r := &m.reps[k]; r.free() && !(m.faults[i].notInDirt && r.dirt) && r.values[i].seen {
			in = append(in, r.values[i])
		}
	}
	return meanOf(in)
}

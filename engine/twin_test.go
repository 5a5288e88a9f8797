package engine

import (
	"math"

	"rootcue/engine/cause"
	"rootcue/engine/clock"
	"rootcue/engine/observation"
	"rootcue/engine/rubric"
	"rootcue/engine/unit"
	"rootcue/engine/verdict"
)

// A twin does by hand, for throw-to-second alone, what the engine does for any
// rubric: measures, verdicts, costs, causes, clock and credit. It stands for
// what a program without rubric files would cost. Marks, formulas, held reps,
// dry reps and a stature from the table are left out; so are all names.
type twin struct {
	band    int
	stature float64
	reps    []twinRep
	chance  [33]float64
	cost    [33]float64
	uCost   [33]float64
	costed  [33]bool
	parts   []clock.Part
}

type twinRep struct {
	cells                                 [31]twinCell
	twoFeet, live, dirt, noBatter, thrown bool
}

type twinCell struct {
	x, own, shared float64
	seen           bool
}

type twinMean struct {
	x, own, shared float64
	n              int
}

var twinStature, twinDegree, twinSecond, twinSpeed, twinMetre = unit.Must("stature"), unit.Must("deg"), unit.Must("s"), unit.Must("mph"), unit.Must("m")

// twinMeasures are the measures in the order of the file: unit, what is
// plausible, reading error; no unit: yes-no.
var twinMeasures = [31]struct {
	unit   *unit.Unit
	lo, hi float64
	u      float64
}{
	{&twinStature, 0.1, 0.6, 0.02}, {&twinStature, -0.4, 0.4, 0.02}, {&twinDegree, -60, 90, 5}, {}, {}, {&twinStature, -0.4, 0.4, 0.03}, {}, {},
	{&twinStature, -0.6, 0.4, 0.02}, {&twinStature, 0.15, 0.65, 0.02}, {&twinStature, -0.2, 0.6, 0.02}, {&twinStature, -0.05, 0.6, 0.02}, {},
	{&twinStature, -0.3, 0.3, 0.02}, {}, {&twinDegree, 0, 90, 3}, {&twinDegree, 0, 90, 3}, {&twinStature, 0, 1, 0.02}, {&twinDegree, -10, 140, 5}, {&twinDegree, -10, 140, 5},
	{&twinStature, 0.15, 0.65, 0.02}, {&twinDegree, -60, 120, 10}, {&twinSecond, 0.05, 2, 0.02}, {&twinSecond, -1, 1, 0.02}, {&twinSecond, 0.2, 3, 0.02}, {&twinSecond, 0.05, 1, 0.02},
	{&twinSecond, 0.3, 4, 0.02}, {&twinSecond, 1, 6, 0.02}, {&twinSpeed, 15, 100, 2}, {&twinMetre, 0, 4, 0.1}, {&twinMetre, -5, 5, 0.1},
}

func twinNumber(name string) int {
	switch name {
	case "hip_height_set":
		return 0
	case "foot_stagger_set":
		return 1
	case "shoulder_turn_set":
		return 2
	case "mitt_open":
		return 3
	case "hand_protected":
		return 4
	case "hand_height_set":
		return 5
	case "grip_across":
		return 6
	case "clean_change":
		return 7
	case "transfer_height":
		return 8
	case "hip_height_transfer":
		return 9
	case "drawback":
		return 10
	case "ball_drop":
		return 11
	case "elbow_height_release":
		return 13
	case "follow_through":
		return 14
	case "first_step_off_line":
		return 15
	case "stride_off_line":
		return 16
	case "stride_length":
		return 17
	case "knee_bend_plant":
		return 18
	case "front_knee_bend_plant":
		return 19
	case "front_shoulder_open":
		return 21
	case "change_time":
		return 22
	case "feet_lag":
		return 23
	case "landing_time":
		return 24
	case "plant_to_release":
		return 25
	case "exchange_time":
		return 26
	}
	return -1
}

// read takes the readings in; false on what the engine would refuse.
func (t *twin) read(o *observation.Observation) bool {
	for k := range o.Reps {
		rep := &t.reps[k]
		pitch := o.Reps[k].Conditions.Words[rubric.Pitch]
		rep.twoFeet, rep.live, rep.noBatter, rep.thrown, rep.dirt = true, true, true, true, pitch == "dirt"
		for i := range o.Reps[k].Measures {
			reading := &o.Reps[k].Measures[i]
			n := twinNumber(reading.Measure)
			if n < 0 {
				return false
			}
			want, cell := &twinMeasures[n], &rep.cells[n]
			cell.seen = true
			if want.unit == nil {
				cell.x = bit(reading.Yes)
				continue
			}
			cell.x, cell.own = reading.X, reading.U
			if reading.HasUnit {
				cell.x, cell.own = reading.Unit.Convert(cell.x, *want.unit, t.stature), reading.Unit.Convert(cell.own, *want.unit, t.stature)
			}
			if !reading.HasU {
				cell.own, cell.shared = 0, want.u
			}
			if cell.x < want.lo || cell.x > want.hi {
				return false
			}
		}
	}
	return true
}

func bit(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func (t *twin) mean(m int, in func(*twinRep) bool) (out twinMean) {
	squares, internal := 0.0, 0.0
	for k := range t.reps {
		if c := &t.reps[k].cells[m]; c.seen && (in == nil || in(&t.reps[k])) {
			out.n++
			out.x += c.x
			internal += c.own * c.own
			out.shared += c.shared
		}
	}
	if out.n == 0 {
		return out
	}
	n := float64(out.n)
	out.x, out.shared, internal = out.x/n, out.shared/n, internal/n/n
	for k := range t.reps {
		if c := &t.reps[k].cells[m]; c.seen && (in == nil || in(&t.reps[k])) {
			squares += (c.x - out.x) * (c.x - out.x)
		}
	}
	if out.n > 1 {
		internal = math.Max(internal, squares/(n-1)/n)
	}
	out.own = math.Sqrt(internal)
	return out
}

func (m twinMean) u() float64 { return math.Hypot(m.own, m.shared) }

// half is the central difference of a cost over each of its inputs.
func half(f func(dy, dk float64) float64, y twinMean, uk float64) (c, u float64) {
	a, b, k := (f(y.own, 0)-f(-y.own, 0))/2, (f(y.shared, 0)-f(-y.shared, 0))/2, (f(0, uk)-f(0, -uk))/2
	return f(0, 0), math.Sqrt(a*a + b*b + k*k)
}

// over is what lies above a limit, times scale, over a speed.
func over(y twinMean, limit, scale, speed, uSpeed float64) (c, u float64) {
	return half(func(dy, dk float64) float64 { return math.Max(0, y.x+dy-limit) * scale / (speed + dk) }, y, uSpeed)
}

// byRate is what lies above a limit times a rate.
func byRate(y twinMean, limit, rate, uRate float64) (c, u float64) {
	return half(func(dy, dk float64) float64 { return math.Max(0, y.x+dy-limit) * (rate + dk) }, y, uRate)
}

func (t *twin) above(f, m int, in func(*twinRep) bool, limit float64) (twinMean, bool) {
	y := t.mean(m, in)
	if y.n == 0 {
		t.chance[f] = math.NaN()
		return y, false
	}
	t.chance[f] = verdict.Above(y.x, y.u(), limit)
	return y, true
}

func (t *twin) below(f, m int, in func(*twinRep) bool, limit float64) (twinMean, bool) {
	y := t.mean(m, in)
	if y.n == 0 {
		t.chance[f] = math.NaN()
		return y, false
	}
	t.chance[f] = verdict.Below(y.x, y.u(), limit)
	return y, true
}

func (t *twin) outside(f, m int, in func(*twinRep) bool, lo, hi float64) {
	y := t.mean(m, in)
	if t.chance[f] = math.NaN(); y.n > 0 {
		t.chance[f] = verdict.Outside(y.x, y.u(), lo, hi)
	}
}

func (t *twin) mustBe(f, m int, in func(*twinRep) bool) bool {
	wrong, n := 0, 0
	for k := range t.reps {
		if c := &t.reps[k].cells[m]; c.seen && (in == nil || in(&t.reps[k])) {
			n++
			wrong += 1 - int(c.x)
		}
	}
	if n == 0 {
		t.chance[f] = math.NaN()
		return false
	}
	t.chance[f] = verdict.MostlyWrong(wrong, n)
	return true
}

func (t *twin) costs(f int, c, u float64) { t.cost[f], t.uCost[f], t.costed[f] = c, u, true }

// judge gives all verdicts and costs.
func (t *twin) judge() {
	b, h := t.band, t.stature
	twoFeet := func(r *twinRep) bool { return r.twoFeet }
	noDirt := func(r *twinRep) bool { return !r.dirt }
	noBatter := func(r *twinRep) bool { return r.noBatter }
	thrown := func(r *twinRep) bool { return r.thrown }
	live := func(r *twinRep) bool { return r.live }
	t.above(0, 0, twoFeet, [4]float64{0.38, 0.37, 0.36, 0.35}[b])
	t.below(1, 0, twoFeet, 0.24)
	t.outside(2, 1, twoFeet, -0.02, 0.12)
	if y, ok := t.above(3, 2, nil, [4]float64{30, 25, 25, 25}[b]); ok {
		c, u := byRate(y, [4]float64{30, 25, 25, 25}[b], 0.002, 0.001)
		t.costs(3, c, u)
	}
	if t.mustBe(4, 3, live) {
		t.costs(4, 0.03, 0.02)
	}
	t.mustBe(5, 4, nil)
	t.below(6, 5, nil, -0.08)
	t.mustBe(7, 6, nil)
	if t.mustBe(8, 7, nil) {
		t.costs(8, 0.15, 0.07)
	}
	if y, ok := t.below(9, 8, noDirt, [4]float64{-0.06, -0.05, -0.04, -0.03}[b]); ok {
		limit := [4]float64{-0.06, -0.05, -0.04, -0.03}[b]
		c, u := half(func(dy, dk float64) float64 { return math.Max(0, limit-y.x-dy) * h / (2.5 + dk) }, y, 0.8)
		t.costs(9, c, u)
	}
	t.tallTransfer(10, [4]float64{0.46, 0.45, 0.44, 0.43}[b])
	t.above(11, 22, noDirt, [4]float64{0.40, 0.36, 0.32, 0.28}[b])
	if y, ok := t.above(12, 10, nil, [4]float64{0.30, 0.29, 0.28, 0.28}[b]); ok {
		c, u := over(y, [4]float64{0.30, 0.29, 0.28, 0.28}[b], h*1.8, 2.5, 0.8)
		t.costs(12, c, u)
	}
	t.below(13, 10, nil, 0.05)
	if y, ok := t.above(14, 11, nil, [4]float64{0.06, 0.05, 0.05, 0.05}[b]); ok {
		c, u := over(y, [4]float64{0.06, 0.05, 0.05, 0.05}[b], h, 2.5, 0.8)
		t.costs(14, c, u)
	}
	t.above(15, 12, nil, [4]float64{2.20, 2.10, 2.05, 2.00}[b])
	t.below(16, 13, nil, [4]float64{-0.03, -0.02, -0.02, -0.02}[b])
	t.mustBe(17, 14, nil)
	if y, ok := t.above(18, 15, noBatter, [4]float64{20, 15, 12, 12}[b]); ok {
		c, u := byRate(y, [4]float64{20, 15, 12, 12}[b], 0.003, 0.002)
		t.costs(18, c, u)
	}
	if y, ok := t.above(19, 16, noBatter, [4]float64{15, 12, 10, 10}[b]); ok {
		c, u := byRate(y, [4]float64{15, 12, 10, 10}[b], 0.003, 0.002)
		t.costs(19, c, u)
	}
	if y, ok := t.above(20, 23, nil, 0.10); ok {
		c, u := byRate(y, 0.10, 1, 0)
		t.costs(20, c, u)
	}
	if y, ok := t.above(21, 17, nil, [4]float64{0.55, 0.55, 0.58, 0.60}[b]); ok {
		c, u := over(y, [4]float64{0.55, 0.55, 0.58, 0.60}[b], h, 2.2, 0.6)
		t.costs(21, c, u)
	}
	t.below(22, 17, nil, 0.22)
	t.below(23, 18, nil, 25)
	t.below(24, 19, nil, 20)
	t.above(25, 21, nil, 30)
	t.above(26, 24, nil, [4]float64{1.10, 0.95, 0.80, 0.65}[b])
	t.above(27, 25, nil, 0.35)
	t.above(28, 26, nil, [4]float64{1.35, 1.20, 1.05, 0.90}[b])
	t.below(29, 28, thrown, [4]float64{40, 46, 56, 66}[b])
	t.chance[30] = math.NaN() // no pop time in these documents
	t.above(31, 29, thrown, [4]float64{1.0, 0.9, 0.8, 0.7}[b])
	t.outside(32, 30, thrown, [4]float64{-0.4, -0.4, -0.3, -0.2}[b], [4]float64{0.8, 0.7, 0.6, 0.5}[b])
}

// tallTransfer costs only the rise after the set.
func (t *twin) tallTransfer(f int, limit float64) {
	y, ok := t.above(f, 9, nil, limit)
	if !ok {
		return
	}
	set := t.mean(0, nil)
	cost := func(dy, ds, dk float64) float64 {
		from := limit
		if set.n > 0 {
			from = math.Max(limit, set.x+ds)
		}
		return math.Max(0, y.x+dy-from) * t.stature / (1 + dk)
	}
	c, u := half(func(dy, dk float64) float64 { return cost(dy, 0, dk) }, y, 0.3)
	own, shared := (cost(0, set.own, 0)-cost(0, -set.own, 0))/2, (cost(0, set.shared, 0)-cost(0, -set.shared, 0))/2
	t.costs(f, c, math.Sqrt(u*u+own*own+shared*shared))
}

// explain puts the chances through the network, the clock and the credit.
func (t *twin) explain(g *cause.Graph, out *[4][33]float64) {
	w := g.Borrow()
	defer g.Return(w)
	ev := cause.Evidence{Ratio: make([]float64, 33), Absent: make([]bool, 33), Hard: make([]int8, 33)}
	for f, p := range t.chance {
		if ev.Ratio[f] = 1; !math.IsNaN(p) {
			ev.Ratio[f] = p / (1 - p)
			out[0][f] = p
		}
		if t.costed[f] {
			t.parts = append(t.parts, clock.Part{Prior: p * t.cost[f], UPrior: p * t.uCost[f]})
		}
	}
	if w.Infer(&ev) != nil {
		return
	}
	exchange := t.mean(26, nil)
	clock.Reconcile(clock.Loss{T: exchange.x - [4]float64{1.10, 1.00, 0.90, 0.80}[t.band], U: math.Hypot(exchange.u(), 0.05), Unexplained: 0.05}, t.parts)
	k := 0
	for f := range t.costed {
		if t.costed[f] {
			out[1][f] = t.parts[k].S
			k++
		}
	}
	carries := make([]float64, len(w.Edges()))
	w.Credit(out[0][:], out[2][:], carries)
	w.Credit(out[1][:], out[3][:], carries)
}

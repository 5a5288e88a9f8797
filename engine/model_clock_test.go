package engine_test

import "math"

// A modelClock is the time lost and its parts after reconciling.
type modelClock struct {
	seen       bool
	exchange   float64
	lost, u    float64
	w          float64 // variance of what stays unexplained
	fault      []int   // that have a part
	m, v, x    []float64
	free       []bool // not held at 0
	fits, slow bool
}

func newModelClock(d *model) modelClock {
	c := modelClock{fits: true}
	for i := range d.faults {
		if !math.IsNaN(d.chance[i]) && !math.IsNaN(d.cost[i]) {
			c.fault = append(c.fault, i)
			c.m = append(c.m, d.chance[i]*d.cost[i])
			c.v = append(c.v, math.Pow(d.chance[i]*d.uCost[i], 2))
		}
	}
	c.x, c.free = append([]float64{}, c.m...), make([]bool, len(c.m))
	for k := range c.free {
		c.free[k] = true
	}
	c.w = math.Inf(1)
	var in []trialReading
	for k := range d.reps {
		if d.reps[k].free() && d.reps[k].exchange.seen {
			in = append(in, d.reps[k].exchange)
		}
	}
	if len(in) > 0 {
		y, own, shared := meanOf(in)
		c.exchange = y
		if d.goal > 0 {
			c.seen, c.lost, c.u = true, y-d.goal, math.Sqrt(own*own+shared*shared+goalU*goalU)
			c.reconcile(d.unexplained)
		}
	}
	return c
}

func (c *modelClock) reconcile(unexplained float64) {
	sum, v := 0.0, 0.0
	for k := range c.m {
		sum += c.m[k]
		v += c.v[k]
	}
	scatter := unexplained * unexplained
	if least := math.Pow((c.lost-sum)/2, 2) - v - c.u*c.u; c.lost > sum && least > scatter {
		scatter, c.fits = least, false
	}
	c.w = c.u*c.u + scatter
	c.slow = c.lost-sum >= -2*math.Sqrt(v+c.w)
	least := math.Inf(1)
	for held := range 1 << len(c.m) {
		x, free, ok := c.solve(held)
		if !ok {
			continue
		}
		if cost := c.cost(x); cost < least {
			least, c.x, c.free = cost, x, free
		}
	}
}

// solve holds some parts at 0 and takes the minimum over the others; ok is false
// where one of those is negative, or a part without uncertainty is to be held.
func (c *modelClock) solve(held int) (x []float64, free []bool, ok bool) {
	m, v := 0.0, 0.0
	free = make([]bool, len(c.m))
	for k := range c.m {
		if free[k] = held>>k&1 == 0; free[k] {
			m += c.m[k]
			v += c.v[k]
		} else if c.v[k] == 0 {
			return nil, nil, false
		}
	}
	x = make([]float64, len(c.m))
	for k := range x {
		if free[k] {
			x[k] = c.m[k] + c.v[k]*(c.lost-m)/(v+c.w)
		}
		if x[k] < 0 {
			return nil, nil, false
		}
	}
	return x, free, true
}

func (c *modelClock) cost(x []float64) float64 {
	rest, sum := c.lost, 0.0
	for k := range x {
		rest -= x[k]
		if c.v[k] > 0 {
			sum += (x[k] - c.m[k]) * (x[k] - c.m[k]) / c.v[k]
		}
	}
	return sum + rest*rest/c.w
}

// uOf is √(aᵀ Cov a) with Cov = diag(v) − vvᵀ/(V + w) over the parts not held.
func (c *modelClock) uOf(a []float64) float64 {
	total := 0.0
	for k := range c.v {
		if c.free[k] {
			total += c.v[k]
		}
	}
	sum := 0.0
	for i := range c.v {
		for k := range c.v {
			if !c.free[i] || !c.free[k] {
				continue
			}
			cov := -c.v[i] * c.v[k] / (total + c.w)
			if i == k {
				cov += c.v[i]
			}
			sum += a[i] * cov * a[k]
		}
	}
	return math.Sqrt(math.Max(0, sum))
}

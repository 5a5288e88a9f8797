package quantity

import (
	"math"
	"testing"
)

// within fails unless got lies within tolerance of want.
func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.12g, wanted %.12g ± %.2g", what, got, want, tolerance)
	}
}

// own is a value with one input of its own.
func own(p *Pool, x, u float64) Value { return Value{x, []Part{{p.Own(), u}}} }

func propagate(f func(x []float64) float64, args ...Value) Value {
	return Propagate(f, args, make([]float64, len(args)), nil)
}

// TestGaugeBlock: JCGM 100:2008 H.1, an end gauge against a standard,
// l = ls + d − ls(δα·θ + αs·δθ), in nm; the printed u is 32, first order only.
func TestGaugeBlock(t *testing.T) {
	var p Pool
	l := propagate(func(x []float64) float64 { return x[0] + x[1] - x[0]*(x[4]*x[3]+x[2]*x[5]) },
		own(&p, 50000623, 25), own(&p, 215, 9.7), own(&p, 11.5e-6, 1.2e-6), own(&p, -0.1, 0.41), own(&p, 0, 0.58e-6), own(&p, 0, 0.029))
	within(t, "l", l.X, 50000838, 1e-6)
	within(t, "u(l)", l.U(), 31.710610, 1e-6)
}

// readings are the five simultaneous readings of JCGM 100:2008 H.2, table H.2:
// V in volt, I in ampere, φ in radian.
var readings = [3][5]float64{
	{5.007, 4.994, 5.005, 4.990, 4.999},
	{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3},
	{1.0456, 1.0438, 1.0468, 1.0428, 1.0433},
}

// averages gives the means of the readings. Reading k moves them together by
// (x_k − mean)/√(n(n−1)), so that their covariances are those of JCGM 100 eq.
// 17; without correlation each has an input of its own.
func averages(p *Pool, correlated bool) []Value {
	moments := []Input{p.Own(), p.Own(), p.Own(), p.Own(), p.Own()}
	var list []Value
	for _, x := range readings {
		mean := (x[0] + x[1] + x[2] + x[3] + x[4]) / 5
		v := Value{X: mean}
		for k := range x {
			v.Parts = append(v.Parts, Part{moments[k], (x[k] - mean) / math.Sqrt(20)})
		}
		if !correlated {
			v = own(p, mean, v.U())
		}
		list = append(list, v)
	}
	return list
}

// TestImpedance: JCGM 100:2008 H.2, R = V/I·cos φ, X = V/I·sin φ, Z = V/I.
// Printed: 127.732 (71), 219.847 (295), 254.260 (236) ohm. Figures in full from
// a recomputation at high precision.
func TestImpedance(t *testing.T) {
	for _, c := range []struct {
		name string
		f    func(x []float64) float64
		x, u float64
	}{
		{"R", func(x []float64) float64 { return x[0] / x[1] * math.Cos(x[2]) }, 127.732169928, 0.071071407},
		{"X", func(x []float64) float64 { return x[0] / x[1] * math.Sin(x[2]) }, 219.846511913, 0.295581677},
		{"Z", func(x []float64) float64 { return x[0] / x[1] }, 254.259701948, 0.236336130},
	} {
		var p Pool
		v := propagate(c.f, averages(&p, true)...)
		within(t, c.name, v.X, c.x, 1e-9*c.x)
		within(t, "u("+c.name+")", v.U(), c.u, 1e-6*c.u)
	}
}

// TestImpedanceWithoutCorrelation: dropping the correlation of H.2 would give
// u(R) 0.1945 instead of 0.071 (recomputed).
func TestImpedanceWithoutCorrelation(t *testing.T) {
	var p Pool
	r := propagate(func(x []float64) float64 { return x[0] / x[1] * math.Cos(x[2]) }, averages(&p, false)...)
	within(t, "u(R)", r.U(), 0.1945, 0.0001)
}

// TestWhereFirstOrderIsNotEnough: JCGM 101:2008, y = x1² + x2², u 0.005 each,
// x1 = 0.010, x2 = 0 (from memory, recomputed): first order gives 100e-6 and
// 100e-6; the draws of engine/verdict give the right figures.
func TestWhereFirstOrderIsNotEnough(t *testing.T) {
	var p Pool
	y := propagate(func(x []float64) float64 { return x[0]*x[0] + x[1]*x[1] }, own(&p, 0.010, 0.005), own(&p, 0, 0.005))
	within(t, "y", y.X, 100e-6, 1e-15)
	within(t, "u(y)", y.U(), 100e-6, 1e-15)
}

// event is the time of a frame: rectangular over one frame (JCGM 100 4.3.7,
// F.2.2.1).
func event(p *Pool, frame, fps float64) Value { return own(p, frame/fps, 1/(fps*math.Sqrt(12))) }

func minus(a, b Value) Value {
	return propagate(func(x []float64) float64 { return x[0] - x[1] }, a, b)
}

func TestFrameIntervals(t *testing.T) {
	for fps, ms := range map[float64]float64{30: 13.608, 60: 6.804, 120: 3.402, 240: 1.701} {
		var p Pool
		within(t, "u in ms", 1000*minus(event(&p, 90, fps), event(&p, 10, fps)).U(), ms, 0.0005)
	}
}

// TestPopTime: exchange and flight share the release, so that they are
// correlated by −½ and their sum keeps only its two end events.
func TestPopTime(t *testing.T) {
	var p Pool
	catch, release, arrival := event(&p, 118, 120), event(&p, 238, 120), event(&p, 412, 120)
	exchange, flight := minus(release, catch), minus(arrival, release)
	within(t, "r", Covariance(exchange, flight)/(exchange.U()*flight.U()), -0.5, 1e-12)
	pop := propagate(func(x []float64) float64 { return x[0] + x[1] }, exchange, flight)
	within(t, "pop", pop.X, 294.0/120, 1e-12)
	within(t, "u(pop)", pop.U(), exchange.U(), 1e-12)
	within(t, "u from the release", pop.D(release.Parts[0].Input), 0, 0)
}

// TestAngle: the three-point angle with arms of 100 px and 2 px a coordinate
// has u 2.292° at 90° and 2.807° at 180° (worked out by hand: the root of the
// sum of squares of the normal displacements).
func TestAngle(t *testing.T) {
	for _, c := range []struct{ far, degrees, u float64 }{{90, 90, 2.292}, {180, 180, 2.807}} {
		var p Pool
		sin, cos := math.Sincos(c.far * math.Pi / 180)
		v := propagate(func(x []float64) float64 {
			turn := math.Atan2(x[5]-x[3], x[4]-x[2]) - math.Atan2(x[1]-x[3], x[0]-x[2])
			return math.Mod(turn*180/math.Pi+360, 360)
		}, own(&p, 100, 2), own(&p, 0, 2), own(&p, 0, 2), own(&p, 0, 2), own(&p, 100*cos, 2), own(&p, 100*sin, 2))
		within(t, "angle", v.X, c.degrees, 1e-9)
		within(t, "u(angle)", v.U(), c.u, 0.002)
	}
}

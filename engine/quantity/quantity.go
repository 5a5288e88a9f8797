// Package quantity holds values with standard uncertainty, kept as sensitivities
// to base inputs so that values built on the same input stay correlated
// (JCGM 100:2008, 5.1 and 5.2).
package quantity

import "math"

// An Input names one base input: something read once, whose error is its own.
// Inputs are numbered by a Pool.
type Input int32

// Stature is the input every Pool starts with: the player's standing height.
const Stature Input = 0

// A Pool hands out base inputs. The zero Pool is ready: it holds Stature.
type Pool struct{ shared []bool }

// Own gives a new input whose error is drawn anew in every rep.
func (p *Pool) Own() Input { return p.add(false) }

// Shared gives a new input whose error is the same in every rep and never
// averages out, such as a scale or a reading habit.
func (p *Pool) Shared() Input { return p.add(true) }

func (p *Pool) add(shared bool) Input {
	if len(p.shared) == 0 {
		p.shared = append(p.shared, true) // Stature
	}
	p.shared = append(p.shared, shared)
	return Input(len(p.shared) - 1)
}

// IsShared reports whether the input's error is common to all reps.
func (p *Pool) IsShared(i Input) bool { return i == Stature || p.shared[i] }

// Reset empties the pool, keeping its memory.
func (p *Pool) Reset() { p.shared = p.shared[:0] }

// A Part is what one base input contributes to a value's uncertainty:
// D = c·u(input), signed (JCGM 100 5.1.3).
type Part struct {
	Input Input
	D     float64
}

// A Value is an estimate with its parts, sorted by input, each input once.
type Value struct {
	X     float64
	Parts []Part
}

// U is the combined standard uncertainty, √Σ(c_i u_i)² (JCGM 100 eq. 10).
func (v Value) U() float64 {
	switch len(v.Parts) {
	case 0:
		return 0
	case 1:
		return math.Abs(v.Parts[0].D)
	}
	sum := 0.0
	for _, p := range v.Parts {
		sum += p.D * p.D
	}
	return math.Sqrt(sum)
}

// D is the value's part from one input, 0 if it does not depend on it.
func (v Value) D(in Input) float64 {
	for _, p := range v.Parts {
		if p.Input == in {
			return p.D
		}
	}
	return 0
}

// Covariance of two values that may share inputs (JCGM 100 F.1.2.3).
func Covariance(a, b Value) float64 {
	sum, j := 0.0, 0
	for _, p := range a.Parts {
		for j < len(b.Parts) && b.Parts[j].Input < p.Input {
			j++
		}
		if j < len(b.Parts) && b.Parts[j].Input == p.Input {
			sum += p.D * b.Parts[j].D
		}
	}
	return sum
}

// Propagate carries args through f to first order, always from the base
// inputs: with Z_i = [f(x + d_i) − f(x − d_i)]/2 for each input i and d_i the
// shift of all arguments under it (JCGM 100 5.1.3 note 2). buf is scratch of
// len(args); out's memory is reused for the parts.
func Propagate(f func(x []float64) float64, args []Value, buf []float64, out []Part) Value {
	for i, a := range args {
		buf[i] = a.X
	}
	v := Value{X: f(buf), Parts: out[:0]}
	for last := Input(-1); ; {
		next, any := nextInput(args, last)
		if !any {
			break
		}
		last = next
		if d := central(f, v.X, args, buf, next); d != 0 {
			v.Parts = append(v.Parts, Part{next, d})
		}
	}
	return v
}

// central is the half difference of f, which is x, under plus and minus one
// standard uncertainty of one input.
func central(f func([]float64) float64, x float64, args []Value, buf []float64, in Input) float64 {
	for i, a := range args {
		buf[i] = a.X + a.D(in)
	}
	up := f(buf)
	for i, a := range args {
		buf[i] = a.X - a.D(in)
	}
	return HalfDifference(up, x, f(buf))
}

// HalfDifference is (up − down)/2, JCGM 100 5.1.3 note 2. Where only one of the
// two is a finite number it is the difference of that one from x, the value in
// the middle; where none is, 0.
func HalfDifference(up, x, down float64) float64 {
	switch hasUp, hasDown := finite(up), finite(down); {
	case hasUp && hasDown:
		return (up - down) / 2
	case hasUp:
		return up - x
	case hasDown:
		return x - down
	}
	return 0
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// nextInput is the smallest input above last that any argument depends on.
func nextInput(args []Value, last Input) (Input, bool) {
	next, any := Input(math.MaxInt32), false
	for _, a := range args {
		for _, p := range a.Parts {
			if p.Input > last {
				if p.Input < next {
					next, any = p.Input, true
				}
				break
			}
		}
	}
	return next, any
}

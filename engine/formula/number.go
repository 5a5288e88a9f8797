package formula

import "math"

// number computes a value, and whether it was seen.
type number func(in *Inputs) (v float64, seen bool)

// operand is a number, kept as what it is so that reading a name or a constant
// costs no call.
type operand struct {
	eval  number  // nil for a name or a constant
	slot  int     // of a name, -1 for a constant
	value float64 // of a constant
}

func constant(v float64) operand { return operand{slot: -1, value: v} }

func (o operand) constant() bool { return o.eval == nil && o.slot < 0 }

func (o operand) load(in *Inputs) (float64, bool) {
	if o.eval != nil {
		return o.eval(in)
	}
	if o.slot < 0 {
		return o.value, true
	}
	return in.X[o.slot], in.Seen[o.slot]
}

// number is the operand as a function.
func (o operand) number() number {
	switch {
	case o.eval != nil:
		return o.eval
	case o.slot < 0:
		return func(*Inputs) (float64, bool) { return o.value, true }
	}
	return func(in *Inputs) (float64, bool) {
		if !in.Seen[o.slot] {
			return 0, false
		}
		return in.X[o.slot], true
	}
}

// finite reports whether x is neither NaN nor infinite.
func finite(x float64) bool { return x-x == 0 }

// binary is the function of an arithmetic sign between two numbers.
func binary(sign string, l, r operand) number {
	switch sign {
	case "+":
		return add(l, r)
	case "-":
		return subtract(l, r)
	case "*":
		return multiply(l, r)
	case "/":
		return divide(l, r)
	}
	return power(l, r)
}

func add(l, r operand) number {
	return func(in *Inputs) (float64, bool) {
		a, ok := l.load(in)
		b, ok2 := r.load(in)
		if !ok || !ok2 {
			return 0, false
		}
		return a + b, true
	}
}

func subtract(l, r operand) number {
	return func(in *Inputs) (float64, bool) {
		a, ok := l.load(in)
		b, ok2 := r.load(in)
		if !ok || !ok2 {
			return 0, false
		}
		return a - b, true
	}
}

func multiply(l, r operand) number {
	return func(in *Inputs) (float64, bool) {
		a, ok := l.load(in)
		b, ok2 := r.load(in)
		if !ok || !ok2 {
			return 0, false
		}
		return a * b, true
	}
}

// divide does not let an infinite divisor make a good 0.
func divide(l, r operand) number {
	return func(in *Inputs) (float64, bool) {
		a, ok := l.load(in)
		b, ok2 := r.load(in)
		switch {
		case !ok || !ok2:
			return 0, false
		case !finite(b):
			return math.NaN(), true
		}
		return a / b, true
	}
}

// power squares by multiplication. Not finite stays not finite: 1 ** NaN is 1
// and 2 ** -Inf is 0 otherwise.
func power(l, r operand) number {
	if r.constant() && r.value == 2 {
		return multiply(l, l)
	}
	return func(in *Inputs) (float64, bool) {
		a, ok := l.load(in)
		b, ok2 := r.load(in)
		switch {
		case !ok || !ok2:
			return 0, false
		case !finite(a) || !finite(b):
			return math.NaN(), true
		}
		return math.Pow(a, b), true
	}
}

func negate(o operand) number {
	return func(in *Inputs) (float64, bool) {
		a, ok := o.load(in)
		if !ok {
			return 0, false
		}
		return -a, true
	}
}

// choose is c ? a : b.
func choose(c condition, a, b operand) number {
	return func(in *Inputs) (float64, bool) {
		o := a
		switch c(in) {
		case no:
			o = b
		case unseen:
			return 0, false
		case broken:
			return math.NaN(), true
		}
		if v, ok := o.load(in); ok {
			return v, true
		}
		return 0, false
	}
}

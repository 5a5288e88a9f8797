package formula

import "math"

// value computes what a part of an expression yields, and whether it was seen;
// what was not seen is 0. Yes is 1 and no is 0. A yes-no value that depends on
// arithmetic that left the finite numbers is NaN.
type value func(in *Inputs) (v float64, seen bool)

// operand is a value kept as what it is, so that reading a name or a constant
// costs no call.
type operand struct {
	eval     value // nil for a name or a constant
	slot     int   // of a name
	constant bool
	number   float64 // of a constant
}

func constant(v float64) operand { return operand{constant: true, number: v} }

// parts are what load wants. A constant becomes a function. Closures keep the
// parts, since keeping the operand would copy it at every call.
func (o operand) parts() (eval value, slot int) {
	if o.constant {
		return o.value(), 0
	}
	return o.eval, o.slot
}

// load computes a value, or reads the slot where there is nothing to compute.
// The compiler inlines it, so that reading a name is no call. The value means
// nothing unless it was seen.
func load(eval value, slot int, in *Inputs) (v float64, seen bool) {
	if eval != nil {
		return eval(in)
	}
	return in.X[slot], in.Seen[slot]
}

// value is the operand as a function.
func (o operand) value() value {
	if o.eval != nil {
		return o.eval
	}
	if c := o.number; o.constant {
		return func(*Inputs) (float64, bool) { return c, true }
	}
	slot := o.slot
	return func(in *Inputs) (float64, bool) {
		if !in.Seen[slot] {
			return 0, false
		}
		return in.X[slot], true
	}
}

// finite reports whether x is neither NaN nor infinite.
func finite(x float64) bool { return x-x == 0 }

// bit is the value of a condition that is known.
func bit(b bool) (v float64, seen bool) {
	if b {
		return 1, true
	}
	return 0, true
}

// known is seen(name).
func known(slot int) value {
	return func(in *Inputs) (float64, bool) { return bit(in.Seen[slot]) }
}

// choose is c ? a : b.
func choose(c, a, b operand) value {
	f, i := c.parts()
	g, j := a.parts()
	h, k := b.parts()
	return func(in *Inputs) (v float64, ok bool) {
		which, ok := load(f, i, in)
		switch {
		case !ok || which != which:
			return spoilt(ok)
		case which != 0:
			v, ok = load(g, j, in)
		default:
			v, ok = load(h, k, in)
		}
		if !ok {
			return 0, false
		}
		return v, true
	}
}

// spoilt is the value of what was not seen, or else is not finite.
func spoilt(seen bool) (float64, bool) {
	if !seen {
		return 0, false
	}
	return math.NaN(), true
}

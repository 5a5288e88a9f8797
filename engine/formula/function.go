package formula

import "math"

// call is the function of a built-in function of numbers.
func call(name string, args []operand) value {
	switch name {
	case "min":
		return fold(args, least, atMost)
	case "max":
		return fold(args, greatest, atLeast)
	case "clamp":
		return clamp(args[0], args[1], args[2])
	case "sqrt":
		return root(args[0])
	}
	return absolute(args[0])
}

// fold applies a function of two to two or more, from the left. With a constant
// on one side, as in max(0, …), it takes the form for that.
func fold(args []operand, two func(l, r operand) value, withConstant func(l operand, c float64) value) value {
	last := args[0]
	for _, next := range args[1:] {
		switch {
		case next.constant:
			last = operand{eval: withConstant(last, next.number)}
		case last.constant:
			last = operand{eval: withConstant(next, last.number)}
		default:
			last = operand{eval: two(last, next)}
		}
	}
	return last.eval
}

func greatest(l, r operand) value {
	f, i := l.parts()
	g, j := r.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		b, ok2 := load(g, j, in)
		if !ok || !ok2 || !finite(a) || !finite(b) {
			return spoilt(ok && ok2)
		}
		return max(a, b), true
	}
}

func least(l, r operand) value {
	f, i := l.parts()
	g, j := r.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		b, ok2 := load(g, j, in)
		if !ok || !ok2 || !finite(a) || !finite(b) {
			return spoilt(ok && ok2)
		}
		return min(a, b), true
	}
}

// atLeast is max with a constant.
func atLeast(l operand, c float64) value {
	f, i := l.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok || !finite(a) {
			return spoilt(ok)
		}
		if a < c {
			return c, true
		}
		return a, true
	}
}

// atMost is min with a constant.
func atMost(l operand, c float64) value {
	f, i := l.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok || !finite(a) {
			return spoilt(ok)
		}
		if a > c {
			return c, true
		}
		return a, true
	}
}

// clamp holds x between lo and hi. Where they are crossed it is not a number.
func clamp(x, lo, hi operand) value {
	if lo.constant && hi.constant && lo.number <= hi.number {
		return between(x, lo.number, hi.number)
	}
	f, i := x.parts()
	g, j := lo.parts()
	h, k := hi.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		b, ok2 := load(g, j, in)
		c, ok3 := load(h, k, in)
		if !ok || !ok2 || !ok3 || !finite(a) || !finite(b) || !finite(c) || b > c {
			return spoilt(ok && ok2 && ok3)
		}
		return min(max(a, b), c), true
	}
}

// between is clamp with constant ends.
func between(x operand, lo, hi float64) value {
	f, i := x.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		switch {
		case !ok || !finite(a):
			return spoilt(ok)
		case a < lo:
			return lo, true
		case a > hi:
			return hi, true
		}
		return a, true
	}
}

func root(o operand) value {
	f, i := o.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok {
			return 0, false
		}
		return math.Sqrt(a), true
	}
}

func absolute(o operand) value {
	f, i := o.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok {
			return 0, false
		}
		return math.Abs(a), true
	}
}

// external calls a function of the environment.
func external(f Func, args []operand) value {
	var eval [3]value
	for i, arg := range args {
		eval[i] = arg.value()
	}
	return func(in *Inputs) (float64, bool) {
		var a [3]float64
		good := true
		for i := range f.Arity {
			v, ok := eval[i](in)
			if !ok {
				return 0, false
			}
			a[i], good = v, good && finite(v)
		}
		if !good {
			return math.NaN(), true
		}
		if v, ok := f.Call(in, a); ok {
			return v, true
		}
		return 0, false
	}
}

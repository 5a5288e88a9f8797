package formula

import "math"

// call is the function of a built-in function of numbers.
func call(name string, args []operand) number {
	switch name {
	case "min":
		return least(args)
	case "max":
		return greatest(args)
	case "clamp":
		return clamp(args[0], args[1], args[2])
	case "sqrt":
		return root(args[0])
	}
	return absolute(args[0])
}

// greatest is the greatest of two or more numbers. A first that is constant is
// common: max(0, …).
func greatest(args []operand) number {
	l, r := args[0], args[1]
	if len(args) > 2 {
		l, r = operand{eval: greatest(args[:len(args)-1])}, args[len(args)-1]
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
		return max(a, b), true
	}
}

// least is the least of two or more numbers.
func least(args []operand) number {
	l, r := args[0], args[1]
	if len(args) > 2 {
		l, r = operand{eval: least(args[:len(args)-1])}, args[len(args)-1]
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
		return min(a, b), true
	}
}

// clamp holds x between lo and hi. Where they are crossed it is not a number.
func clamp(x, lo, hi operand) number {
	return func(in *Inputs) (float64, bool) {
		a, ok := x.load(in)
		b, ok2 := lo.load(in)
		c, ok3 := hi.load(in)
		switch {
		case !ok || !ok2 || !ok3:
			return 0, false
		case !finite(a) || !finite(b) || !finite(c) || b > c:
			return math.NaN(), true
		}
		return min(max(a, b), c), true
	}
}

func root(o operand) number {
	return func(in *Inputs) (float64, bool) {
		a, ok := o.load(in)
		if !ok {
			return 0, false
		}
		return math.Sqrt(a), true
	}
}

func absolute(o operand) number {
	return func(in *Inputs) (float64, bool) {
		a, ok := o.load(in)
		if !ok {
			return 0, false
		}
		return math.Abs(a), true
	}
}

// external calls a function of the environment.
func external(f Func, args []operand) number {
	var a [3]operand
	copy(a[:], args)
	return func(in *Inputs) (float64, bool) {
		var x [3]float64
		for i := range f.Arity {
			v, ok := a[i].load(in)
			switch {
			case !ok:
				return 0, false
			case !finite(v):
				return math.NaN(), true
			}
			x[i] = v
		}
		if v, ok := f.Call(in, x); ok {
			return v, true
		}
		return 0, false
	}
}

package formula

import "math"

// binary is the function of an arithmetic sign between two numbers. With a
// constant on one side it has a form of its own.
func binary(sign string, l, r operand) value {
	switch {
	case sign == "-" && r.constant:
		return addTo(l, -r.number)
	case sign == "-" && l.constant:
		return subtractFrom(l.number, r)
	case sign == "-":
		return subtract(l, r)
	case sign == "+" && r.constant:
		return addTo(l, r.number)
	case sign == "+" && l.constant:
		return addTo(r, l.number)
	case sign == "+":
		return add(l, r)
	case sign == "*" && r.constant:
		return scale(l, r.number)
	case sign == "*" && l.constant:
		return scale(r, l.number)
	case sign == "*":
		return multiply(l, r)
	case sign == "/" && r.constant:
		return divideBy(l, r.number)
	case sign == "/":
		return divide(l, r)
	case r.constant && r.number == 2:
		return square(l)
	}
	return power(l, r)
}

func addTo(l operand, c float64) value {
	f, i := l.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok {
			return 0, false
		}
		return a + c, true
	}
}

func subtractFrom(c float64, r operand) value {
	f, i := r.parts()
	return func(in *Inputs) (float64, bool) {
		b, ok := load(f, i, in)
		if !ok {
			return 0, false
		}
		return c - b, true
	}
}

func scale(l operand, c float64) value {
	f, i := l.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok {
			return 0, false
		}
		return a * c, true
	}
}

func divideBy(l operand, c float64) value {
	f, i := l.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok {
			return 0, false
		}
		return a / c, true
	}
}

func square(l operand) value {
	f, i := l.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok {
			return 0, false
		}
		return a * a, true
	}
}

func add(l, r operand) value {
	f, i := l.parts()
	g, j := r.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		b, ok2 := load(g, j, in)
		if !ok || !ok2 {
			return 0, false
		}
		return a + b, true
	}
}

func subtract(l, r operand) value {
	f, i := l.parts()
	g, j := r.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		b, ok2 := load(g, j, in)
		if !ok || !ok2 {
			return 0, false
		}
		return a - b, true
	}
}

func multiply(l, r operand) value {
	f, i := l.parts()
	g, j := r.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		b, ok2 := load(g, j, in)
		if !ok || !ok2 {
			return 0, false
		}
		return a * b, true
	}
}

// divide does not let an infinite divisor make a good 0.
func divide(l, r operand) value {
	f, i := l.parts()
	g, j := r.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		b, ok2 := load(g, j, in)
		switch {
		case !ok || !ok2:
			return 0, false
		case !finite(b):
			return math.NaN(), true
		}
		return a / b, true
	}
}

// power keeps what is not finite so: 1 ** NaN is 1 and 2 ** -Inf is 0 otherwise.
func power(l, r operand) value {
	f, i := l.parts()
	g, j := r.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		b, ok2 := load(g, j, in)
		switch {
		case !ok || !ok2:
			return 0, false
		case !finite(a) || !finite(b):
			return math.NaN(), true
		}
		return math.Pow(a, b), true
	}
}

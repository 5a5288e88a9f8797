package formula

// compare is a comparison between two values; yes and no compare as 1 and 0. A
// constant limit, the commonest rule there is, has a form of its own.
func compare(sign string, l, r operand) value {
	switch {
	case r.constant:
		return limits[sign](l, r.number)
	case l.constant:
		return limits[turned[sign]](r, l.number)
	case sign == ">" || sign == ">=":
		return orders[turned[sign]](r, l)
	}
	return orders[sign](l, r)
}

// turned is each sign with its sides exchanged.
var turned = map[string]string{"<": ">", "<=": ">=", ">": "<", ">=": "<=", "==": "==", "!=": "!="}

// The makers of functions are in tables, not called by name: the compiler would
// inline them, and then no longer what they make.
var (
	limits = map[string]func(l operand, c float64) value{"<": under, "<=": upTo, ">": over, ">=": from, "==": is, "!=": isNot}
	orders = map[string]func(l, r operand) value{"<": less, "<=": lessOrEqual, "==": equal, "!=": unequal}
)

// under is l < c.
func under(l operand, c float64) value {
	f, i := l.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok || !finite(a) {
			return spoilt(ok)
		}
		return bit(a < c)
	}
}

// upTo is l <= c.
func upTo(l operand, c float64) value {
	f, i := l.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok || !finite(a) {
			return spoilt(ok)
		}
		return bit(a <= c)
	}
}

// over is l > c.
func over(l operand, c float64) value {
	f, i := l.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok || !finite(a) {
			return spoilt(ok)
		}
		return bit(a > c)
	}
}

// from is l >= c.
func from(l operand, c float64) value {
	f, i := l.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok || !finite(a) {
			return spoilt(ok)
		}
		return bit(a >= c)
	}
}

// is is l == c.
func is(l operand, c float64) value {
	f, i := l.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok || !finite(a) {
			return spoilt(ok)
		}
		return bit(a == c)
	}
}

// isNot is l != c.
func isNot(l operand, c float64) value {
	f, i := l.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok || !finite(a) {
			return spoilt(ok)
		}
		return bit(a != c)
	}
}

// less is l < r.
func less(l, r operand) value {
	f, i := l.parts()
	g, j := r.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		b, ok2 := load(g, j, in)
		if !ok || !ok2 || !finite(a) || !finite(b) {
			return spoilt(ok && ok2)
		}
		return bit(a < b)
	}
}

// lessOrEqual is l <= r.
func lessOrEqual(l, r operand) value {
	f, i := l.parts()
	g, j := r.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		b, ok2 := load(g, j, in)
		if !ok || !ok2 || !finite(a) || !finite(b) {
			return spoilt(ok && ok2)
		}
		return bit(a <= b)
	}
}

// equal is l == r.
func equal(l, r operand) value {
	f, i := l.parts()
	g, j := r.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		b, ok2 := load(g, j, in)
		if !ok || !ok2 || !finite(a) || !finite(b) {
			return spoilt(ok && ok2)
		}
		return bit(a == b)
	}
}

// unequal is l != r.
func unequal(l, r operand) value { return not(operand{eval: equal(l, r)}) }

package formula

// and is Kleene's: no if either is no; else unseen before NaN, since what was
// not seen may yet decide.
func and(l, r operand) value {
	f, i := l.parts()
	g, j := r.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if ok && a == 0 {
			return 0, true
		}
		b, ok2 := load(g, j, in)
		switch {
		case ok2 && b == 0:
			return 0, true
		case !ok || !ok2:
			return 0, false
		}
		return a * b, true
	}
}

// or is Kleene's: yes if either is yes; else unseen before NaN.
func or(l, r operand) value {
	f, i := l.parts()
	g, j := r.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if ok && a == 1 {
			return 1, true
		}
		b, ok2 := load(g, j, in)
		switch {
		case ok2 && b == 1:
			return 1, true
		case !ok || !ok2:
			return 0, false
		}
		return a + b, true
	}
}

func not(o operand) value {
	f, i := o.parts()
	return func(in *Inputs) (float64, bool) {
		a, ok := load(f, i, in)
		if !ok {
			return 0, false
		}
		return 1 - a, true
	}
}

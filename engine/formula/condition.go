package formula

import "math"

// truth is the value of a condition.
type truth uint8

const (
	no truth = iota
	yes
	unseen // depends on what was not seen
	broken // depends on arithmetic that left the finite numbers
)

func truthOf(b bool) truth {
	if b {
		return yes
	}
	return no
}

// value is the truth as Eval gives it.
func (t truth) value() (v float64, seen bool) {
	switch t {
	case no:
		return 0, true
	case yes:
		return 1, true
	case unseen:
		return 0, false
	}
	return math.NaN(), true
}

// condition computes a truth.
type condition func(in *Inputs) truth

func always(t truth) condition { return func(*Inputs) truth { return t } }

// yesNo reads a yes-no name.
func yesNo(slot int) condition {
	return func(in *Inputs) truth {
		if !in.Seen[slot] {
			return unseen
		}
		return truthOf(in.X[slot] != 0)
	}
}

// known is seen(name).
func known(slot int) condition {
	return func(in *Inputs) truth { return truthOf(in.Seen[slot]) }
}

// is compares an enumeration with one of its words.
func is(slot, word int) condition {
	w := float64(word)
	return func(in *Inputs) truth {
		if !in.Seen[slot] {
			return unseen
		}
		return truthOf(in.X[slot] == w)
	}
}

// and is Kleene's: no if either is no; else unseen before broken, since what
// was not seen may yet decide.
func and(l, r condition) condition {
	return func(in *Inputs) truth {
		a := l(in)
		if a == no {
			return no
		}
		switch b := r(in); {
		case a == yes || b == no:
			return b
		case b == yes:
			return a
		default:
			return min(a, b)
		}
	}
}

// or is Kleene's: yes if either is yes; else unseen before broken.
func or(l, r condition) condition {
	return func(in *Inputs) truth {
		a := l(in)
		if a == yes {
			return yes
		}
		switch b := r(in); {
		case a == no || b == yes:
			return b
		case b == no:
			return a
		default:
			return min(a, b)
		}
	}
}

func not(c condition) condition {
	return func(in *Inputs) truth {
		switch t := c(in); t {
		case no:
			return yes
		case yes:
			return no
		default:
			return t
		}
	}
}

// same is == between two conditions.
func same(l, r condition) condition {
	return func(in *Inputs) truth {
		a, b := l(in), r(in)
		switch {
		case a == unseen || b == unseen:
			return unseen
		case a == broken || b == broken:
			return broken
		}
		return truthOf(a == b)
	}
}

// pick is c ? a : b between conditions.
func pick(c, a, b condition) condition {
	return func(in *Inputs) truth {
		switch t := c(in); t {
		case yes:
			return a(in)
		case no:
			return b(in)
		default:
			return t
		}
	}
}

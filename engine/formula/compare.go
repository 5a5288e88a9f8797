package formula

// compare is the condition of a comparison between two numbers. A name against
// a constant, the commonest rule there is, has a function of its own.
func compare(sign string, l, r operand) condition {
	if l.constant() && !r.constant() {
		return compare(turned[sign], r, l)
	}
	if l.eval == nil && l.slot >= 0 && r.constant() {
		return limit(sign, l.slot, r.value)
	}
	test := tests[sign]
	return func(in *Inputs) truth {
		a, ok := l.load(in)
		b, ok2 := r.load(in)
		switch {
		case !ok || !ok2:
			return unseen
		case !finite(a) || !finite(b):
			return broken
		}
		return truthOf(test.holds(a, b))
	}
}

// turned is each sign with its sides exchanged.
var turned = map[string]string{"<": ">", "<=": ">=", ">": "<", ">=": "<=", "==": "==", "!=": "!="}

// test is a comparison by the three orders that two finite numbers can have.
type test struct{ less, equal, greater bool }

var tests = map[string]test{
	"<":  {less: true},
	"<=": {less: true, equal: true},
	">":  {greater: true},
	">=": {greater: true, equal: true},
	"==": {equal: true},
	"!=": {less: true, greater: true},
}

func (t test) holds(a, b float64) bool {
	return t.less && a < b || t.equal && a == b || t.greater && a > b
}

// limit compares the name in the slot with c.
func limit(sign string, slot int, c float64) condition {
	t := tests[sign]
	return func(in *Inputs) truth {
		x := in.X[slot]
		switch {
		case !in.Seen[slot]:
			return unseen
		case !finite(x):
			return broken
		}
		return truthOf(t.holds(x, c))
	}
}

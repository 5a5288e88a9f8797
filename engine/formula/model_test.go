package formula

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"pgregory.net/rapid"
)

// term is a random expression: as text, and as what it must yield by the rules
// of the package comment, written a second time as plainly as can be.
type term struct {
	text string
	eval func(*Inputs) result
}

type result struct {
	v      float64
	unseen bool
	broken bool
}

func seenResult(v float64) result { return result{v: v, broken: math.IsNaN(v) || math.IsInf(v, 0)} }

func boolResult(b bool) result {
	if b {
		return result{v: 1}
	}
	return result{}
}

func readSlot(slot int) func(*Inputs) result {
	return func(in *Inputs) result {
		if !in.Seen[slot] {
			return result{unseen: true}
		}
		return result{v: in.X[slot]}
	}
}

// strict applies f where all parts are seen and finite.
func strict(f func(v []float64) result, parts ...term) func(*Inputs) result {
	return func(in *Inputs) result {
		var v []float64
		var r result
		for _, p := range parts {
			q := p.eval(in)
			v = append(v, q.v)
			r.unseen = r.unseen || q.unseen
			r.broken = r.broken || q.broken
		}
		if r.unseen || r.broken {
			r.v, r.broken = 0, !r.unseen
			return r
		}
		return f(v)
	}
}

// maker draws terms. Without division nothing can leave the finite numbers.
type maker struct {
	t       *rapid.T
	divides bool
	asks    bool // seen(name)
}

func (m *maker) pick(options ...string) string { return rapid.SampledFrom(options).Draw(m.t, "pick") }

func (m *maker) number(depth int) term {
	kinds := []string{"constant", "name"}
	if depth > 0 {
		kinds = []string{"constant", "name", "sign", "negate", "function", "choice"}
	}
	switch m.pick(kinds...) {
	case "constant":
		v := float64(rapid.IntRange(0, 40).Draw(m.t, "c")) / 4
		return term{strconv.FormatFloat(v, 'f', -1, 64), func(*Inputs) result { return result{v: v} }}
	case "name":
		slot := rapid.IntRange(strideLength, handSpeed).Draw(m.t, "slot")
		return term{testEnv.Names[slot].Name, readSlot(slot)}
	case "negate":
		a := m.number(depth - 1)
		return term{"(-" + a.text + ")", strict(func(v []float64) result { return seenResult(-v[0]) }, a)}
	case "function":
		return m.function(depth)
	case "choice":
		c, a, b := m.condition(depth-1), m.number(depth-1), m.number(depth-1)
		return choice(c, a, b)
	}
	return m.sign(depth)
}

func choice(c, a, b term) term {
	return term{"(" + c.text + " ? " + a.text + " : " + b.text + ")", func(in *Inputs) result {
		switch r := c.eval(in); {
		case r.unseen || r.broken:
			return result{unseen: r.unseen, broken: r.broken}
		case r.v == 1:
			return a.eval(in)
		}
		return b.eval(in)
	}}
}

func (m *maker) sign(depth int) term {
	signs := map[string]func(a, b float64) float64{
		"+": func(a, b float64) float64 { return a + b },
		"-": func(a, b float64) float64 { return a - b },
		"*": func(a, b float64) float64 { return a * b },
		"/": func(a, b float64) float64 { return a / b },
	}
	options := []string{"+", "-", "*"}
	if m.divides {
		options = append(options, "/", "**")
	}
	signs["**"] = math.Pow
	s := m.pick(options...)
	a, b := m.number(depth-1), m.number(depth-1)
	f := signs[s]
	return term{"(" + a.text + " " + s + " " + b.text + ")", strict(func(v []float64) result { return seenResult(f(v[0], v[1])) }, a, b)}
}

func (m *maker) function(depth int) term {
	args := []term{m.number(depth - 1)}
	name := m.pick("abs", "min", "max", "clamp")
	if m.divides && name == "abs" {
		name = m.pick("abs", "sqrt")
	}
	switch name {
	case "min", "max":
		for range rapid.IntRange(1, 3).Draw(m.t, "more") {
			args = append(args, m.number(depth-1))
		}
	case "clamp":
		args = append(args, term{"1", func(*Inputs) result { return result{v: 1} }}, term{"3", func(*Inputs) result { return result{v: 3} }})
	}
	var texts []string
	for _, a := range args {
		texts = append(texts, a.text)
	}
	return term{name + "(" + strings.Join(texts, ", ") + ")", strict(func(v []float64) result { return seenResult(reference[name](v...)) }, args...)}
}

// reference holds the functions a second time, for the model and for expr.
var reference = map[string]func(v ...float64) float64{
	"abs":  func(v ...float64) float64 { return math.Abs(v[0]) },
	"sqrt": func(v ...float64) float64 { return math.Sqrt(v[0]) },
	"min": func(v ...float64) float64 {
		for _, x := range v[1:] {
			v[0] = math.Min(v[0], x)
		}
		return v[0]
	},
	"max": func(v ...float64) float64 {
		for _, x := range v[1:] {
			v[0] = math.Max(v[0], x)
		}
		return v[0]
	},
	"clamp": func(v ...float64) float64 { return math.Min(math.Max(v[0], v[1]), v[2]) },
}

func (m *maker) condition(depth int) term {
	kinds := []string{"constant", "name", "enum"}
	if m.asks {
		kinds = append(kinds, "seen")
	}
	if depth > 0 {
		kinds = append(kinds, "compare", "compare", "and", "or", "not", "same", "choice")
	}
	switch m.pick(kinds...) {
	case "constant":
		b := rapid.Bool().Draw(m.t, "bool")
		return term{strconv.FormatBool(b), func(*Inputs) result { return boolResult(b) }}
	case "name":
		slot := rapid.IntRange(handProtected, mayLead).Draw(m.t, "flag")
		return term{testEnv.Names[slot].Name, readSlot(slot)}
	case "enum":
		return m.enum()
	case "seen":
		slot := rapid.IntRange(strideLength, pitch).Draw(m.t, "asked")
		return term{"seen(" + testEnv.Names[slot].Name + ")", func(in *Inputs) result { return boolResult(in.Seen[slot]) }}
	case "compare":
		return m.compare(depth)
	case "and":
		return m.logic("&&", 0, depth)
	case "or":
		return m.logic("||", 1, depth)
	case "not":
		a := m.condition(depth - 1)
		return term{"!(" + a.text + ")", strict(func(v []float64) result { return boolResult(v[0] == 0) }, a)}
	case "same":
		a, b := m.condition(depth-1), m.condition(depth-1)
		return term{"((" + a.text + ") == (" + b.text + "))", strict(func(v []float64) result { return boolResult(v[0] == v[1]) }, a, b)}
	}
	return choice(m.condition(depth-1), m.condition(depth-1), m.condition(depth-1))
}

func (m *maker) enum() term {
	slot := rapid.IntRange(ball, pitch).Draw(m.t, "enum")
	word := rapid.IntRange(0, len(testEnv.Names[slot].Values)-1).Draw(m.t, "word")
	sign := m.pick("==", "!=")
	text := fmt.Sprintf("%s %s %q", testEnv.Names[slot].Name, sign, testEnv.Names[slot].Values[word])
	return term{text, func(in *Inputs) result {
		if !in.Seen[slot] {
			return result{unseen: true}
		}
		return boolResult((in.X[slot] == float64(word)) == (sign == "=="))
	}}
}

func (m *maker) compare(depth int) term {
	signs := map[string]func(a, b float64) bool{
		"<":  func(a, b float64) bool { return a < b },
		"<=": func(a, b float64) bool { return a <= b },
		">":  func(a, b float64) bool { return a > b },
		">=": func(a, b float64) bool { return a >= b },
		"==": func(a, b float64) bool { return a == b },
		"!=": func(a, b float64) bool { return a != b },
	}
	s := m.pick("<", "<=", ">", ">=", "==", "!=")
	a, b := m.number(depth-1), m.number(depth-1)
	f := signs[s]
	return term{"(" + a.text + " " + s + " " + b.text + ")", strict(func(v []float64) result { return boolResult(f(v[0], v[1])) }, a, b)}
}

// logic is && (decided by 0) or || (decided by 1).
func (m *maker) logic(sign string, decides float64, depth int) term {
	a, b := m.condition(depth-1), m.condition(depth-1)
	return term{"(" + a.text + " " + sign + " " + b.text + ")", func(in *Inputs) result {
		x, y := a.eval(in), b.eval(in)
		sure := func(r result) bool { return !r.unseen && !r.broken && r.v == decides }
		switch {
		case sure(x) || sure(y):
			return result{v: decides}
		case x.unseen || y.unseen:
			return result{unseen: true}
		case x.broken || y.broken:
			return result{broken: true}
		}
		return result{v: 1 - decides}
	}}
}

// inputs draws values on a coarse grid, so that equality and 0 come up.
func inputs(t *rapid.T, all bool) *Inputs {
	in := given(nil)
	for i, n := range testEnv.Names {
		in.Seen[i] = all || rapid.Bool().Draw(t, "seen "+n.Name)
		most := map[Kind]int{Number: 16, Bool: 1, Enum: len(n.Values) - 1}[n.Kind]
		in.X[i] = float64(rapid.IntRange(0, most).Draw(t, n.Name))
		if n.Kind == Number {
			in.X[i] = (in.X[i] - 4) / 4
		}
	}
	return in
}

// draw makes a term that fits the limits, compiled; nil where the source holds
// a constant that is not finite, or is too long.
func (m *maker) draw(depth int) (term, *Program) {
	kind := rapid.SampledFrom([]Kind{Number, Bool}).Draw(m.t, "kind")
	e := term{}
	if kind == Number {
		e = m.number(depth)
	} else {
		e = m.condition(depth)
	}
	p, issues := Compile(e.text, kind, testEnv)
	for _, i := range issues {
		if i.Code != "too-long" && (!m.divides || i.Code != "not-finite" && i.Code != "division-by-zero") {
			m.t.Fatalf("%s: %+v", e.text, i)
		}
	}
	return e, p
}

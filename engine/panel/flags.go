package panel

import (
	"fmt"
	"math"
)

// A Flag is something about an evaluator that the instructor should look into
// before using the standing.
type Flag struct {
	Evaluator string `json:"evaluator,omitempty"`
	Item      string `json:"item"`
	Code      string `json:"code"` // upside-down, flat, unconnected
	Says      string `json:"says"`
}

// Limits of the flags.
const (
	flagPlayers = 5      // fewest players before anything is said of an evaluator
	upsideDown  = -0.3   // correlation of residuals below this
	byChance    = 1.2816 // and grades against the others' as chance has it 1 time in 10 (normal, one side)
	flat        = 0.2    // share of the panel's spread below this
)

// view is what one evaluator and the others said of the players both saw.
type view struct {
	own    []float64 // the evaluator's mean grade of each player
	others []float64 // the others' mean, severities taken off
}

// flags looks at each evaluator of a connected item.
func flags(t table, f *Fit) []Flag {
	var out []Flag
	panel := panelSpread(t, f)
	for e, name := range f.Evaluators {
		v := viewOf(t, f, e)
		if len(v.own) < flagPlayers {
			continue
		}
		if says, ok := v.flat(t, panel); ok {
			out = append(out, Flag{name, t.item, "flat", says})
		} else if says, ok := v.upsideDown(); ok {
			out = append(out, Flag{name, t.item, "upside-down", says})
		}
	}
	return out
}

// viewOf lists the players of evaluator e whom others saw too.
func viewOf(t table, f *Fit, e int) view {
	var v view
	for _, looks := range t.byPlayer() {
		var own, others []float64
		for _, l := range looks {
			if l.evaluator == e {
				own = append(own, l.grade)
			} else {
				others = append(others, l.grade-f.Severity[l.evaluator])
			}
		}
		if len(own) > 0 && len(others) > 0 {
			v.own, v.others = append(v.own, mean(own)), append(v.others, mean(others))
		}
	}
	return v
}

// upsideDown: the residuals against the others' adjusted means fall as the
// means rise, and the grades themselves run the other way, by more than chance
// alone does one time in ten (Fisher's z). The second condition keeps an
// evaluator who merely uses a narrow stretch of the scale, or an item on which
// nobody agrees, from being called upside down.
func (v view) upsideDown() (string, bool) {
	residuals := make([]float64, len(v.own))
	for i := range residuals {
		residuals[i] = v.own[i] - v.others[i]
	}
	r, grades := correlation(residuals, v.others), correlation(v.own, v.others)
	if !(r < upsideDown && math.Atanh(grades)*math.Sqrt(float64(len(v.own)-3)) < -byChance) {
		return "", false
	}
	return fmt.Sprintf("over %d players, grades run against the other evaluators' (correlation %.2f; of the residuals %.2f): the scale may have been read the wrong way round",
		len(v.own), grades, r), true
}

// flat: hardly tells players apart where the panel does. A run of the same yes
// or no counts only where the panel's own mix makes it unlikely (below 5 %).
func (v view) flat(t table, panel float64) (string, bool) {
	own := deviation(v.own)
	if !(own < flat*panel) {
		return "", false
	}
	if t.yesNo {
		yes, n := min(max(mean(v.others), 0), 1), float64(len(v.own))
		if math.Pow(yes, n)+math.Pow(1-yes, n) >= 0.05 {
			return "", false
		}
	}
	return fmt.Sprintf("over %d players the grades spread by %.2g, the panel's by %.2g: this evaluator hardly tells the players apart",
		len(v.own), own, panel), true
}

// panelSpread is the evaluators' spread over players, pooled.
func panelSpread(t table, f *Fit) float64 {
	grades := make([][]float64, len(f.Evaluators))
	for _, l := range t.looks {
		grades[l.evaluator] = append(grades[l.evaluator], l.grade)
	}
	sum, free := 0.0, 0.0
	for _, g := range grades {
		if len(g) > 1 {
			sum += sq(deviation(g)) * float64(len(g)-1)
			free += float64(len(g) - 1)
		}
	}
	return math.Sqrt(sum / free)
}

// deviation is the standard deviation with n − 1.
func deviation(x []float64) float64 {
	m, sum := mean(x), 0.0
	for _, v := range x {
		sum += sq(v - m)
	}
	return math.Sqrt(sum / float64(len(x)-1))
}

// correlation is Pearson's; NaN when one side does not vary.
func correlation(x, y []float64) float64 {
	mx, my := mean(x), mean(y)
	var xx, yy, xy float64
	for i := range x {
		xx += sq(x[i] - mx)
		yy += sq(y[i] - my)
		xy += (x[i] - mx) * (y[i] - my)
	}
	return xy / math.Sqrt(xx*yy)
}

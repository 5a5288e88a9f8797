package pages

import (
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"rootcue/engine/panel"
	"rootcue/internal/report/picture"
	"rootcue/internal/report/rounding"
)

// Board is what the tryout board shows: bibs, never names or references.
type Board struct {
	ID, Name        string
	Closed          bool
	At              string // when the grades were read, on the club's clock
	Mark            string // differs when what is shown does
	Players, Grades int
	Panel           []string
	Roster          []Worn
	Best            int // places of which chances speak
	Items           []Graded
	Missing         []Missing
	Planned         []Planned
	Agreement       []Agreement
	Flags           []Flag
	Severity        []Severity
	Tiers           []Tier
	Without         []Without
	Splits          []panel.Split // items whose panel falls apart
	Notes           []string
	Recusals        []Recusal
	Decisions       []Decision
	Undecided       []string // bibs on which nothing is decided
	Untold          []string // bibs whose players are told nothing yet
}

// Worn is a bib that a player wears.
type Worn struct {
	Bib       string
	Withdrawn bool
}

// Graded is an item that is graded.
type Graded struct {
	Name, Title string
	Unit        string // its unit, yes-no or grade, by the end of a key of the catalogue
	Weight      string // what it counts in the score; "" for nothing
}

// Missing are the looks that a bib still wants.
type Missing struct {
	Bib   string
	Wants []Want
}

// A Want is what a bib wants on items with as many looks so far.
type Want struct {
	Items      []string // the first few
	More       int      // items besides
	Has, Wants int      // looks
	By         []string // who may give one
}

// Planned is a look that would teach most: who should see whom at what.
type Planned struct{ Evaluator, Bib, Item string }

// Agreement is how far the evaluators agree on an item.
type Agreement struct {
	Item     string
	Complete bool
	Says     string
	Figures  []Figure
}

// A Figure is a coefficient, with its 95 % interval where one is known.
type Figure struct{ Name, Value, Low, High string }

// A Flag is something about an evaluator to look into, with the evidence.
type Flag struct{ Evaluator, Item, Code, Says string }

// Severity is a chart of how strict each evaluator is on an item.
type Severity struct {
	Item  string
	Unit  string
	Chart picture.Drawing
	Rows  []Strict
}

// Strict is what one evaluator gives more than the average one, in grades.
type Strict struct{ Evaluator, Value string }

// A Tier are players whom the grades do not tell apart, in parts of few enough
// rows for a sheet of paper.
type Tier struct {
	Number, Players int
	Parts           []TierPart
}

// A TierPart is a chart of places and the same in figures.
type TierPart struct {
	Chart picture.Drawing
	Rows  []Stood
}

// Stood is where a bib stands.
type Stood struct {
	Bib, Score, Place, Low, High string    // Low, High: places, "" when not known
	Chance                       string    // of the best places, per cent; "" when not known
	Decided                      *Decision // the last one; nil for none
}

// Without is what changes when an evaluator is left out.
type Without struct {
	Evaluator string
	Says      string // the engine's word where no bib moves
	Best      bool   // the best places change
	Moves     []panel.Move
}

// A Recusal keeps an evaluator off a bib. Why is nobody's business at a meeting.
type Recusal struct{ Evaluator, Bib string }

// A Decision is what the club decided on a bib, or an appeal against it.
type Decision struct {
	Bib      string
	Code     string // chosen, not-chosen, or an appeal's open, upheld, changed
	Group    string // of the place; "" for none
	Why      string
	Feedback string // what the player is told
	At       string
}

// mostInPart is how many rows of a tier stand together.
const mostInPart = 22

// Show puts what the grades come to on the board. Items and decisions must be
// there already.
func (b *Board) Show(r panel.Result) {
	for _, a := range r.Agreement {
		b.Agreement = append(b.Agreement, Agreement{b.item(a.Item).Title, a.Design == "complete", a.Says, figures(a)})
	}
	for _, f := range r.Flags {
		if f.Code != "unconnected" { // told with its parts
			b.Flags = append(b.Flags, Flag{f.Evaluator, b.item(f.Item).Title, f.Code, f.Says})
		}
	}
	if len(r.Splits) == 0 { // else the looks that join the parts come first
		for _, l := range r.Looks {
			b.Planned = append(b.Planned, Planned{l.Evaluator, l.Bib, b.item(l.Item).Title})
		}
	}
	for _, n := range r.Notes {
		if n.Code != "supports-only" { // the page says it in the reader's language
			b.Notes = append(b.Notes, n.Says)
		}
	}
	for _, w := range r.Without {
		b.Without = append(b.Without, without(w, b.Best))
	}
	for _, s := range r.Splits {
		s.Item = b.item(s.Item).Title
		b.Splits = append(b.Splits, s)
	}
	b.Severity = b.severity(r.Severity)
	b.Tiers = tiers(r.Standing)
	for _, t := range b.Tiers {
		for _, p := range t.Parts {
			for i := range p.Rows {
				p.Rows[i].Decided = b.decided(p.Rows[i].Bib)
			}
		}
	}
}

// decided is the last decision on a bib, nil without one.
func (b *Board) decided(bib string) (last *Decision) {
	for i, d := range b.Decisions {
		if d.Bib == bib && (d.Code == "chosen" || d.Code == "not-chosen") {
			last = &b.Decisions[i]
		}
	}
	return last
}

// figures are the coefficients that are known.
func figures(a panel.Agreement) (list []Figure) {
	for _, f := range []struct {
		name string
		of   panel.Interval
	}{
		{"ICC(2,1)", a.ICC21}, {"ICC(2,k)", a.ICC2K}, {"ICC(3,1)", a.ICC31}, {"ICC(3,k)", a.ICC3K},
		{"κ", alone(a.Kappa)}, {"α", alone(a.Alpha)},
	} {
		if f.of.Value.Known() {
			list = append(list, Figure{f.name, two(f.of.Value), two(f.of.Low), two(f.of.High)})
		}
	}
	return list
}

func alone(f panel.Figure) panel.Interval {
	none := panel.Figure(math.NaN())
	return panel.Interval{Value: f, Low: none, High: none}
}

// two writes a coefficient, "" when it is not known.
func two(f panel.Figure) string {
	if !f.Known() {
		return ""
	}
	return fmt.Sprintf("%.2f", f)
}

// item finds an item by its name; what was graded before the items were changed
// goes by its name.
func (b *Board) item(name string) Graded {
	if i := slices.IndexFunc(b.Items, func(g Graded) bool { return g.Name == name }); i >= 0 {
		return b.Items[i]
	}
	return Graded{Name: name, Title: name, Unit: "grade"}
}

// Title is an item's title.
func (b *Board) Title(name string) string { return b.item(name).Title }

// severity draws one chart an item.
func (b *Board) severity(list []panel.Severity) (out []Severity) {
	values := map[string][]float64{} // by unit: items in one unit share a scale, so that they compare
	for _, s := range list {
		low, high := within95(s.Value, s.U)
		unit := b.item(s.Item).Unit
		values[unit] = append(values[unit], float64(s.Value), low, high)
	}
	for one := range runs(list, func(s panel.Severity) string { return s.Item }) {
		item := b.item(one[0].Item)
		chart := Severity{Item: item.Title, Unit: item.Unit}
		var rows []picture.Span
		for _, s := range one {
			low, high := within95(s.Value, s.U)
			rows = append(rows, picture.Span{Label: s.Evaluator, Low: low, Mid: float64(s.Value), High: high})
			chart.Rows = append(chart.Rows, Strict{s.Evaluator, signed(s.Value, s.U)})
		}
		chart.Chart = picture.Spans(rows, picture.About0(values[item.Unit]...))
		out = append(out, chart)
	}
	return out
}

// runs cuts a list where the key changes.
func runs[T any, K comparable](list []T, key func(T) K) iter.Seq[[]T] {
	return func(yield func([]T) bool) {
		for len(list) > 0 {
			n := slices.IndexFunc(list, func(t T) bool { return key(t) != key(list[0]) })
			if n < 0 {
				n = len(list)
			}
			if !yield(list[:n]) {
				return
			}
			list = list[n:]
		}
	}
}

// within95 are the ends of a 95 % interval (normal), NaN when it is not known.
func within95(v, u panel.Figure) (low, high float64) {
	return float64(v) - 1.96*float64(u), float64(v) + 1.96*float64(u)
}

// signed writes a figure that may lie on either side of zero.
func signed(v, u panel.Figure) string {
	text := strings.ReplaceAll(rounding.WithSpread(float64(v), float64(u)), " ", "\u00a0") // stays on one line
	switch value, _, _ := strings.Cut(text, "\u00a0"); {
	case strings.HasPrefix(text, "-"):
		return "−" + text[1:]
	case strings.Trim(value, "0.") == "":
		return text
	}
	return "+" + text
}

// tiers cuts the standing where its tiers end.
func tiers(list []panel.Standing) (out []Tier) {
	scale := picture.Places(len(list))
	for tier := range runs(list, func(s panel.Standing) int { return s.Tier }) {
		t := Tier{Number: tier[0].Tier, Players: len(tier)}
		for part := range slices.Chunk(tier, mostInPart) {
			t.Parts = append(t.Parts, tierPart(part, scale))
		}
		out = append(out, t)
	}
	return out
}

func tierPart(list []panel.Standing, scale picture.Scale) (p TierPart) {
	var rows []picture.Span
	for _, s := range list {
		row := picture.Span{Label: s.Bib, Low: math.NaN(), Mid: float64(s.Rank), High: math.NaN()}
		stood := Stood{Bib: s.Bib, Score: signed(s.Score, s.U)}
		if s.Rank.Known() {
			stood.Place = fmt.Sprintf("%.1f", s.Rank)
		}
		if s.RankLow != nil {
			row.Low, row.High = float64(*s.RankLow), float64(*s.RankHigh)
			stood.Low, stood.High = fmt.Sprint(*s.RankLow), fmt.Sprint(*s.RankHigh)
		}
		if s.ChanceBest.Known() {
			stood.Chance = PerCent(float64(s.ChanceBest))
		}
		rows, p.Rows = append(rows, row), append(p.Rows, stood)
	}
	p.Chart = picture.Spans(rows, scale)
	return p
}

func without(w panel.Without, best int) Without {
	if len(w.Moves) == 0 {
		return Without{Evaluator: w.Evaluator, Says: w.Says}
	}
	first := w.Moves[0]
	return Without{Evaluator: w.Evaluator, Best: (first.From <= best) != (first.To <= best), Moves: w.Moves}
}

package engine_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rootcue/engine"
	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
)

// A trial is a small random rubric with an observation, as plain data: fault i
// rests on the measure m<i>, in seconds or yes-no.
type trial struct {
	faults      []trialFault
	pairs       []trialPair
	goal        float64 // of the exchange, s; 0: no reference
	unexplained float64
	reps        []trialRep
}

type trialFault struct {
	outcome    bool
	kind       string  // at_most, at_least, between or must_be
	lo, hi     float64 // s
	cost       string  // "", "excess" or "fixed"
	background float64
	links      []trialLink
	notInDirt  bool // judged only where the pitch was not in the dirt
}

type trialLink struct {
	to       int
	strength float64
}

type trialPair struct {
	first, second    int
	weight, strength float64
}

type trialRep struct {
	dirt     bool
	held     int // fault, -1 none
	values   []trialReading
	exchange trialReading
}

type trialReading struct {
	seen, byEye, yes bool
	x, u             float64
}

// What every trial's rubric says.
const (
	eyeU     = 0.02 // s, reading error of every measure
	rate     = 1.5
	rateU    = 0.4
	fixed    = 0.1 // s
	fixedU   = 0.03
	goalU    = 0.05 // s
	mostCues = 3
)

// odd is added to chances, so that none comes to lie on a threshold.
const odd = 0.00317

// hundredths draws a number of two decimals.
func hundredths(t *rapid.T, lo, hi int, what string) float64 {
	return float64(rapid.IntRange(lo, hi).Draw(t, what)) / 100
}

func drawTrial(t *rapid.T) *trial {
	n := rapid.IntRange(2, 6).Draw(t, "faults")
	d := &trial{faults: make([]trialFault, n), unexplained: hundredths(t, 1, 20, "unexplained")}
	if rapid.Bool().Draw(t, "clock") {
		d.goal = hundredths(t, 80, 110, "goal")
	}
	for i := range d.faults {
		d.faults[i] = drawFault(t, i, n)
	}
	d.drawPairs(t)
	for range rapid.IntRange(1, 5).Draw(t, "reps") {
		d.reps = append(d.reps, d.drawRep(t))
	}
	return d
}

func drawFault(t *rapid.T, i, n int) trialFault {
	f := trialFault{
		outcome: i == n-1 && rapid.Bool().Draw(t, "outcome"), kind: rapid.SampledFrom([]string{"at_most", "at_least", "between", "must_be"}).Draw(t, "kind"),
		lo: hundredths(t, 20, 40, "lo"), hi: hundredths(t, 41, 60, "hi"), background: odd + hundredths(t, 1, 50, "background"), notInDirt: rapid.IntRange(0, 3).Draw(t, "dirt") == 0,
	}
	if !f.outcome {
		f.cost = rapid.SampledFrom([]string{"", "excess", "fixed"}).Draw(t, "cost")
	}
	if f.kind == "must_be" && f.cost == "excess" {
		f.cost = "fixed"
	}
	for to := i + 1; to < n; to++ {
		if rapid.Bool().Draw(t, "link") {
			f.links = append(f.links, trialLink{to, odd + hundredths(t, 5, 95, "strength")})
		}
	}
	return f
}

// drawPairs turns some neighbours into pairs. Neighbours can change places
// without a cycle.
func (d *trial) drawPairs(t *rapid.T) {
	for i := 0; i+1 < len(d.faults); i++ {
		if d.faults[i+1].outcome || rapid.IntRange(0, 2).Draw(t, "pair") > 0 {
			continue
		}
		f := &d.faults[i]
		if len(f.links) > 0 && f.links[0].to == i+1 {
			f.links = f.links[1:]
		}
		d.pairs = append(d.pairs, trialPair{i, i + 1, odd + hundredths(t, 10, 90, "weight"), odd + hundredths(t, 5, 95, "strength")})
		i++
	}
}

func (d *trial) drawRep(t *rapid.T) trialRep {
	r := trialRep{dirt: rapid.IntRange(0, 3).Draw(t, "dirt") == 0, held: -1, exchange: drawReading(t, 80, 170)}
	if rapid.IntRange(0, 3).Draw(t, "held") == 0 {
		r.held = rapid.IntRange(0, len(d.faults)-1).Draw(t, "which")
	}
	for range d.faults {
		r.values = append(r.values, drawReading(t, 10, 80))
	}
	return r
}

func drawReading(t *rapid.T, lo, hi int) trialReading {
	r := trialReading{seen: rapid.IntRange(0, 4).Draw(t, "seen") > 0, byEye: rapid.Bool().Draw(t, "by eye"), yes: rapid.Bool().Draw(t, "yes"), x: hundredths(t, lo, hi, "x")}
	if r.u = eyeU; !r.byEye {
		r.u = hundredths(t, 0, 8, "u")
	}
	return r
}

// rubricText writes the trial's rubric file.
func (d *trial) rubricText() string {
	var b strings.Builder
	fmt.Fprintf(&b, "rubric: trial\ntitle: Trial\nbands: {all: {ages: [8, 18]}}\nconditions: {pitch: strike, ball: live}\nunexplained_u: %v\n", d.unexplained)
	if d.goal > 0 {
		fmt.Fprintf(&b, "reference: {exchange_time: {all: %v, u: %v}}\n", d.goal, goalU)
	}
	fmt.Fprintf(&b, "constants: {rate: {value: %v, u: %v, unit: \"1\"}, fixed: {value: %v, u: %v, unit: s}}\nmeasures:\n  exchange_time: {title: Exchange, unit: s, u: %v}\n", rate, rateU, fixed, fixedU, eyeU)
	for i, f := range d.faults {
		form := fmt.Sprintf("unit: s, u: %v", eyeU)
		if f.kind == "must_be" {
			form = "kind: yes-no"
		}
		fmt.Fprintf(&b, "  m%d: {title: M%d, %s}\n", i, i, form)
	}
	b.WriteString("faults:\n")
	for i, f := range d.faults {
		if f.outcome && (i == 0 || !d.faults[i-1].outcome) {
			b.WriteString("outcomes:\n")
		}
		f.write(&b, i)
	}
	for k, p := range d.pairs {
		if k == 0 {
			b.WriteString("either_way:\n")
		}
		fmt.Fprintf(&b, "  - {between: [f%d, f%d], weight: %v, strength: %v, because: they go together}\n", p.first, p.second, p.weight, p.strength)
	}
	return b.String()
}

func (f *trialFault) write(b *strings.Builder, i int) {
	limit := map[string]string{"at_most": fmt.Sprint(f.hi), "at_least": fmt.Sprint(f.lo), "between": fmt.Sprintf("[%v, %v]", f.lo, f.hi), "must_be": "true"}[f.kind]
	fmt.Fprintf(b, "  f%d:\n    title: F%d\n    measure: m%d\n    %s: %s\n    background: %v\n", i, i, i, f.kind, limit, f.background)
	switch f.cost {
	case "excess":
		fmt.Fprintf(b, "    costs: \"%s * rate\"\n", map[string]string{"at_most": fmt.Sprintf("(m%d - limit)", i), "at_least": fmt.Sprintf("(limit - m%d)", i), "between": fmt.Sprintf("abs(m%d - limit)", i)}[f.kind])
	case "fixed":
		b.WriteString("    costs: fixed\n")
	}
	if f.notInDirt {
		b.WriteString("    only_if: pitch != \"dirt\"\n")
	}
	for k, l := range f.links {
		if k == 0 {
			b.WriteString("    leads_to:\n")
		}
		fmt.Fprintf(b, "      f%d: {strength: %v, because: it does}\n", l.to, l.strength)
	}
}

// observationText writes the trial's observation, the reps in an order.
func (d *trial) observationText(order []int) string {
	var reps []string
	for _, k := range order {
		r := d.reps[k]
		var list []string
		if r.exchange.seen {
			list = append(list, r.exchange.text("exchange_time"))
		}
		for i, v := range r.values {
			switch name := fmt.Sprintf("m%d", i); {
			case !v.seen:
			case d.faults[i].kind == "must_be":
				list = append(list, fmt.Sprintf("%q: %t", name, v.yes))
			default:
				list = append(list, v.text(name))
			}
		}
		extra := ""
		if r.dirt {
			extra += `"conditions": {"pitch": "dirt"}, `
		}
		if r.held >= 0 {
			extra += fmt.Sprintf(`"held": ["f%d"], `, r.held)
		}
		reps = append(reps, fmt.Sprintf(`{"rep": %d, %s"measures": {%s}}`, k+1, extra, strings.Join(list, ", ")))
	}
	return `{"player": {"ref": "P-1", "age": 12, "stature_cm": 150}, "on": "2026-05-09", "reps": [` + strings.Join(reps, ",\n") + `]}`
}

func (r *trialReading) text(name string) string {
	if r.byEye {
		return fmt.Sprintf("%q: %v", name, r.x)
	}
	return fmt.Sprintf(`%q: {"value": %v, "u": %v}`, name, r.x, r.u)
}

func (d *trial) inOrder() []int {
	order := make([]int, len(d.reps))
	for i := range order {
		order[i] = i
	}
	return order
}

// fatal is what *testing.T and *rapid.T share.
type fatal interface {
	Fatalf(format string, args ...any)
}

func parseText(t fatal, src string) *rubric.Rubric {
	r, problems := rubric.Parse("trial.yaml", []byte(src), nil)
	if r == nil {
		t.Fatalf("%s\n%s", place.Render(problems, func(string) []byte { return []byte(src) }), src)
	}
	return r
}

func assessText(t fatal, r *rubric.Rubric, doc string) *engine.Assessment {
	a, problems := tryAssess(t, r, doc)
	if a == nil {
		t.Fatalf("%v\n%s", problems, doc)
	}
	return a
}

func tryAssess(t fatal, r *rubric.Rubric, doc string) (*engine.Assessment, []place.Problem) {
	o, problems := observation.Decode([]byte(doc))
	if o == nil {
		t.Fatalf("%v\n%s", problems, doc)
	}
	return engine.Assess(engine.Request{Rubric: r, Observation: o})
}

var _ fatal = (*testing.T)(nil)

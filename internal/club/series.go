package club

import (
	"math"

	"rootcue/engine"
	"rootcue/engine/civil"
	"rootcue/engine/measure"
	"rootcue/engine/progress"
)

// shownSeries is a series with all that is compared in it.
func shownSeries(last *measure.Sheet, m int, s progress.Series, side progress.Side, by map[string]day, today civil.Date) MeasureProgress {
	is := &last.Rubric.Measures[m]
	p := MeasureProgress{
		Rubric: last.Rubric.Name, Measure: is.Name, Title: is.Title, Unit: is.Unit.Name, Ball: s.Kind,
		AtLeast: finite(side.Low), AtMost: finite(side.High), Sessions: []SessionMean{}, Steps: []Step{},
	}
	steps := stepper{s, side, inStature(is.Unit), by}
	n := len(s.Sessions)
	for i, session := range s.Sessions {
		d := by[session.On+s.Kind]
		p.Sessions = append(p.Sessions, SessionMean{session.On, d.band, engine.Number(meanOf(session.Reps)), engine.Number(d.u), len(session.Reps)})
		if i > 0 {
			p.Steps = append(p.Steps, steps.step(i-1, i))
		}
	}
	p.Overall = steps.since(n, func(string) bool { return true })
	start := civil.SeasonStart(today).String()
	p.Season = steps.since(n, func(on string) bool { return on >= start })
	band := last.Rubric.Bands[last.Band].Name
	p.Band = steps.since(n, func(on string) bool { return by[on+s.Kind].band == band })
	if s.Trend != nil {
		p.Trend = &Trend{s.Trend.S, engine.Number(s.Trend.P), engine.Number(s.Trend.Slope)}
	}
	return p
}

// inf is an end that does not bind, or a number that is not known.
var inf = math.Inf(1)

func finite(x float64) engine.Number {
	if math.IsInf(x, 0) {
		return engine.Number(math.NaN())
	}
	return engine.Number(x)
}

func meanOf(reps []float64) float64 {
	sum := 0.0
	for _, x := range reps {
		sum += x
	}
	return sum / float64(len(reps))
}

// A stepper compares the sessions of a series.
type stepper struct {
	s       progress.Series
	side    progress.Side
	stature bool // a share of standing height
	by      map[string]day
}

// since goes from the first of n sessions that counts to the last; nil where
// they are the same.
func (t stepper) since(n int, counts func(on string) bool) *Step {
	for i := range n - 1 {
		if counts(t.s.Sessions[i].On) {
			step := t.step(i, n-1)
			return &step
		}
	}
	return nil
}

// step compares two sessions. A share of height that got worse only because
// the player has grown, while it did not get worse in centimetres, is no real
// change.
func (t stepper) step(i, j int) Step {
	a, b := t.s.Sessions[i], t.s.Sessions[j]
	c := progress.Changes(a, b, t.s.Within, t.side)
	out := Step{From: c.From, To: c.To, Change: engine.Number(c.Change), Least: engine.Number(c.Least), Word: c.Word}
	if c.Word != progress.Worse || !t.stature {
		return out
	}
	was, is := t.by[a.On+t.s.Kind].stature, t.by[b.On+t.s.Kind].stature
	if was == is {
		return out
	}
	long := progress.Changes(scaled(a, was/is), b, t.s.Within, t.side)
	if long.Word != progress.Worse {
		out.Word, out.Grown = progress.NoRealChange, true
	}
	return out
}

// scaled is a session read at another height: what was done in centimetres, as
// a share of the height of later.
func scaled(s progress.Session, by float64) progress.Session {
	out := progress.Session{On: s.On, Kind: s.Kind, U: s.U * by}
	for _, x := range s.Reps {
		out.Reps = append(out.Reps, x*by)
	}
	return out
}

package club

import (
	"context"
	"fmt"
	"math"
	"slices"

	"rootcue/engine"
	"rootcue/engine/measure"
	"rootcue/engine/place"
	"rootcue/engine/progress"
	"rootcue/engine/rubric"
	"rootcue/engine/shape"
	"rootcue/internal/store"
)

// A CueEffect is how the measure of a fault changed in the players to whom the
// correction was handed out, beside those to whom it was not. It describes two
// groups that nobody drew by lot.
type CueEffect struct {
	Rubric  string         `json:"rubric"`
	Fault   string         `json:"fault"`
	Title   string         `json:"title"`
	Cue     string         `json:"cue" doc:"The correction, as the rubric in force words it"`
	Measure string         `json:"measure" doc:"The fault's measure"`
	Unit    string         `json:"unit" doc:"Of all changes"`
	Better  string         `json:"better" enum:"less,more,within" doc:"Which way the measure gets better by the fault's limit"`
	Balls   []EffectOfBall `json:"balls" doc:"Live and dry throws, which are never mixed"`
	Unread  int            `json:"unread" doc:"Observations that today's rubric cannot read: they are left out"`
	Notes   []string       `json:"notes" doc:"How to read it"`
}

// An EffectOfBall compares the two groups in live or in dry throws.
type EffectOfBall struct {
	Ball       string        `json:"ball" enum:"live,dry" doc:"Dry and live are compared apart"`
	With       EffectSide    `json:"with" doc:"Players to whom it was handed out, and who were seen before and after"`
	Without    EffectSide    `json:"without" doc:"Players to whom it was not handed out, and who were seen in two sessions"`
	Difference engine.Number `json:"difference" doc:"Mean change with less mean change without; null: withheld"`
	Low        engine.Number `json:"low" doc:"95 % interval of the difference (Welch); null: withheld"`
	High       engine.Number `json:"high" doc:"95 % interval of the difference (Welch); null: withheld"`
	Freedom    engine.Number `json:"degrees_of_freedom" doc:"Of the interval (Welch, Satterthwaite); null: withheld, or nothing scatters"`
	Withheld   bool          `json:"withheld" doc:"Fewer than 5 players on a side: nothing is said"`
	Says       string        `json:"says"`
}

// An EffectSide is one of the two groups.
type EffectSide struct {
	Players int           `json:"players" doc:"How many"`
	Change  engine.Number `json:"change" doc:"Mean change; null: withheld"`
}

// effectNotes say how to read a comparison.
var effectNotes = []string{
	"A change is the mean of up to three sessions that follow, less the session before. With the correction, before is the last session up to the day it was first handed out; without it, the first session.",
	"This describes two groups that nobody drew by lot. It does not show that the correction did it: it is handed out to those who are farthest off, and what is far off tends to move back by itself; others may have practised the same without it.",
	"Players grow and change age groups meanwhile; limits play no part in it.",
}

// sessionsAfter is how many sessions after a cue tell of it.
const sessionsAfter = 3

// CueEffect compares players of the club who were handed the correction of a
// fault with those who were not. An unknown rubric is store.ErrNotFound, an
// unknown fault or one without a measure of its own a Refusal.
func (c *Clubs) CueEffect(ctx context.Context, a Actor, name, fault string) (e CueEffect, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		v, err := c.inForce(ctx, tx, name)
		if err != nil {
			return err
		}
		f, err := faultWithMeasure(v.Rubric, fault)
		if err != nil {
			return err
		}
		m := &v.Rubric.Measures[f.Measure]
		e = CueEffect{Rubric: name, Fault: fault, Title: f.Title, Cue: f.Cue, Measure: m.Name, Unit: m.Unit.Name, Better: betterWay(f.Limit), Balls: []EffectOfBall{}, Notes: effectNotes}
		handed, err := firstHanded(ctx, tx, name, fault)
		if err != nil {
			return err
		}
		means, unread, err := dayMeans(ctx, tx, v.Rubric, f.Measure)
		if err != nil {
			return err
		}
		e.Unread = unread
		for ball, name := range rubric.Enumerations[rubric.Ball] {
			e.Balls = append(e.Balls, compareGroups(name, m.Unit.Name, means[ball], handed))
		}
		return nil
	})
	return e, err
}

func faultWithMeasure(r *rubric.Rubric, name string) (*rubric.Fault, error) {
	names := []string{}
	for i := range r.Faults {
		switch f := &r.Faults[i]; {
		case f.Outcome:
		case f.Name != name:
			names = append(names, f.Name)
		case f.Measure < 0:
			return nil, refuse("no-measure", "", "the fault "+name+", which has no measure of its own", "a fault with one measure and a limit", "")
		default:
			return f, nil
		}
	}
	return nil, refuse("unknown-fault", "", "the fault "+name, "a fault of the rubric "+r.Name+": "+place.List(names), shape.DidYouMean(name, names))
}

func betterWay(l rubric.Limit) string {
	switch {
	case l.Kind == rubric.AtMost || l.Kind == rubric.MustBe && !l.MustBe:
		return "less"
	case l.Kind == rubric.AtLeast || l.Kind == rubric.MustBe:
		return "more"
	}
	return "within"
}

// firstHanded is the day on which each player was first handed the correction
// of a fault.
func firstHanded(ctx context.Context, tx store.Tx, name, fault string) (map[string]string, error) {
	cues, err := tx.CuesFor(ctx, name, fault)
	first := map[string]string{}
	for _, q := range cues {
		if on, known := first[q.PlayerRef]; !known || q.HandedOn < on {
			first[q.PlayerRef] = q.HandedOn
		}
	}
	return first, err
}

// A dayMean is the mean of a measure over a player's reps of a day.
type dayMean struct {
	on   string
	sum  float64
	reps int
}

func (d dayMean) mean() float64 { return d.sum / float64(d.reps) }

// dayMeans reads a measure out of all current observations of a rubric, page by
// page: by ball and player, the earliest day first.
func dayMeans(ctx context.Context, tx store.Tx, r *rubric.Rubric, m int) (by []map[string][]dayMean, unread int, err error) {
	for range rubric.Enumerations[rubric.Ball] {
		by = append(by, map[string][]dayMean{})
	}
	for page := (store.Page{}); ; {
		rows, err := tx.Observations(ctx, store.ObservationFilter{Rubric: r.Name}, page)
		if err != nil {
			return nil, 0, err
		}
		for _, o := range rows {
			read, slips := read(o.Input)
			if len(slips) > 0 {
				unread++
				continue
			}
			sheet, slips := measure.Read(r, read.Observation)
			if len(slips) > 0 {
				unread++
				continue
			}
			addDay(by, o, sheet, m)
		}
		if len(rows) < store.MaxPage {
			break
		}
		page.After = store.Cursor{On: rows[len(rows)-1].On, ID: rows[len(rows)-1].ID}
	}
	for _, players := range by {
		for ref := range players {
			slices.Reverse(players[ref]) // the store lists the newest first
		}
	}
	return by, unread, nil
}

// addDay adds the reps that count of one observation; those of one day are one.
func addDay(by []map[string][]dayMean, o store.Observation, sheet *measure.Sheet, m int) {
	for i := range sheet.Reps {
		rep := &sheet.Reps[i]
		if len(rep.Held) > 0 || !rep.Cells[m].Seen {
			continue
		}
		days := by[rep.Conditions.Ball][o.PlayerRef]
		if n := len(days); n == 0 || days[n-1].on != o.On {
			days = append(days, dayMean{on: o.On})
		}
		d := &days[len(days)-1]
		d.sum, d.reps = d.sum+rep.Cells[m].Value.X, d.reps+1
		by[rep.Conditions.Ball][o.PlayerRef] = days
	}
}

// compareGroups compares those who were handed it with those who were not.
func compareGroups(ball, unit string, players map[string][]dayMean, handed map[string]string) EffectOfBall {
	var with, without []float64
	for ref, days := range players {
		on, got := handed[ref]
		change, ok := changeAfter(days, on)
		switch {
		case !ok:
		case got:
			with = append(with, change)
		default:
			without = append(without, change)
		}
	}
	slices.Sort(with) // the same sums each time
	slices.Sort(without)
	c, ok := progress.CueHelped(with, without)
	e := EffectOfBall{Ball: ball, With: EffectSide{c.With, finite(inf)}, Without: EffectSide{c.Without, finite(inf)},
		Difference: finite(inf), Low: finite(inf), High: finite(inf), Freedom: finite(inf), Withheld: !ok}
	if !ok {
		e.Says = fmt.Sprintf("Withheld: %d players were handed it and seen again, %d were not; at least 5 of each are needed.", c.With, c.Without)
		return e
	}
	e.With.Change, e.Without.Change = engine.Number(c.ChangeWith), engine.Number(c.ChangeWithout)
	e.Difference, e.Low, e.High = engine.Number(c.Difference), engine.Number(c.Low), engine.Number(c.High)
	if c.DegreesOfFreedom > 0 {
		e.Freedom = engine.Number(c.DegreesOfFreedom)
	}
	e.Says = fmt.Sprintf("The mean change was %+.3g %s in %d players who were handed it and %+.3g %s in %d who were not: a difference of %+.3g %s, 95 %% interval %+.3g to %+.3g.",
		c.ChangeWith, unit, c.With, c.ChangeWithout, unit, c.Without, c.Difference, unit, c.Low, c.High)
	if c.Low <= 0 && c.High >= 0 {
		e.Says += " So few players cannot tell it from none."
	}
	return e
}

// changeAfter is the mean of the days that follow less the last day up to a
// date, or less the first day for "".
func changeAfter(days []dayMean, on string) (change float64, ok bool) {
	at := 0
	if on != "" {
		at = -1
		for i := range days {
			if days[i].on <= on {
				at = i
			}
		}
	}
	if at < 0 || at+1 >= len(days) {
		return math.NaN(), false
	}
	next := days[at+1 : min(at+1+sessionsAfter, len(days))]
	sum := 0.0
	for _, d := range next {
		sum += d.mean()
	}
	return sum/float64(len(next)) - days[at].mean(), true
}

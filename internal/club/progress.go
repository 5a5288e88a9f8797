package club

import (
	"context"
	"math"
	"slices"

	"rootcue/engine"
	"rootcue/engine/civil"
	"rootcue/engine/measure"
	"rootcue/engine/progress"
	"rootcue/engine/rubric"
	"rootcue/engine/unit"
	"rootcue/internal/store"
)

// A MeasureProgress is one measure of one player over time, dry or live. It is
// held against the player's own past only, never against others.
type MeasureProgress struct {
	Rubric  string        `json:"rubric"`
	Measure string        `json:"measure" doc:"Name of the measure in the rubric"`
	Title   string        `json:"title"`
	Unit    string        `json:"unit" doc:"Unit of the values"`
	Ball    string        `json:"ball" enum:"live,dry" doc:"Dry and live throws are separate series"`
	AtLeast engine.Number `json:"at_least" doc:"The limit of the player's age group today, null without one"`
	AtMost  engine.Number `json:"at_most" doc:"The limit of the player's age group today, null without one"`

	Sessions []SessionMean `json:"sessions" doc:"By date, the earliest first"`
	Steps    []Step        `json:"steps" doc:"From each session to the next"`
	Overall  *Step         `json:"overall" doc:"From the first session to the last; null with one session"`
	Season   *Step         `json:"season" doc:"From the first session of this season to the last"`
	Band     *Step         `json:"band" doc:"From the first session in today's age group to the last"`
	Trend    *Trend        `json:"trend" doc:"From four sessions on"`
}

// A SessionMean is the mean of one day.
type SessionMean struct {
	On    string        `json:"on" doc:"The day, YYYY-MM-DD"`
	Band  string        `json:"band" doc:"The player's age group that day"`
	Value engine.Number `json:"value" doc:"The mean, in the measure's unit"`
	U     engine.Number `json:"u" doc:"Standard uncertainty of the mean"`
	Reps  int           `json:"reps" doc:"Reps that count"`
}

// A Step is what happened from one session to another.
type Step struct {
	From   string        `json:"from" doc:"The day of the one"`
	To     string        `json:"to" doc:"The day of the other"`
	Change engine.Number `json:"change" doc:"In the measure's unit"`
	Least  engine.Number `json:"least" doc:"Least change that is real, 19 to 1 (Weir 2005); null where the scatter is not known"`
	Word   progress.Word `json:"word" enum:"better,worse,no-real-change,too-few" doc:"What the change comes to, by the fault's side; too-few: nothing tells how much it scatters"`
	Grown  bool          `json:"grown" doc:"As a share of height it got worse, in centimetres it did not: the player has grown"`
}

// A Trend is whether a measure rises or falls from session to session.
type Trend struct {
	S     int           `json:"s" doc:"Pairs that rise less pairs that fall (Mann-Kendall)"`
	P     engine.Number `json:"p" doc:"Two-sided chance of such an s without a trend"`
	Slope engine.Number `json:"slope" doc:"Median change a session (Sen), in the measure's unit"`
}

// A Development is all that changed for a player.
type Development struct {
	Measures []MeasureProgress `json:"measures" doc:"By rubric, in the order of its file"`
	Unread   int               `json:"unread" doc:"Observations that today's rubric cannot read: they are left out"`
}

// Progress follows every measure that has a limit over a player's sessions. The
// rubric in force today reads them all, and its limits for today's age group
// say which way is better, so that a change of group is no change of the player.
func (c *Clubs) Progress(ctx context.Context, a Actor, ref string) (d Development, err error) {
	d.Measures = []MeasureProgress{}
	err = c.view(ctx, a, func(tx store.Tx) error {
		if _, err := tx.Player(ctx, ref); err != nil {
			return err
		}
		g, err := c.newShownGate(ctx, tx)
		if err != nil {
			return err
		}
		sheets, unread, err := c.sheetsOf(ctx, tx, ref)
		if err != nil {
			return err
		}
		d.Unread = unread
		for _, of := range sheets {
			d.Measures = append(d.Measures, followAll(of, g.today)...)
		}
		return nil
	})
	return d, err
}

// A daySheet is an observation as read by the rubric in force.
type daySheet struct {
	on    string
	sheet *measure.Sheet
}

// sheetsOf reads a player's current observations, by rubric and date.
func (c *Clubs) sheetsOf(ctx context.Context, tx store.Tx, ref string) (all [][]daySheet, unread int, err error) {
	rows, err := tx.Observations(ctx, store.ObservationFilter{Player: ref}, store.Page{})
	if err != nil {
		return nil, 0, err
	}
	slices.SortStableFunc(rows, func(x, y store.Observation) int {
		return cmpText(x.Rubric+" "+x.On+" "+x.ID, y.Rubric+" "+y.On+" "+y.ID)
	})
	for i, o := range rows {
		if i == 0 || rows[i-1].Rubric != o.Rubric {
			all = append(all, nil)
		}
		v, err := c.inForce(ctx, tx, o.Rubric)
		if err != nil {
			return nil, 0, err
		}
		r, slips := read(o.Input)
		if len(slips) > 0 {
			unread++
			continue
		}
		if sheet, slips := measure.Read(v.Rubric, r.Observation); len(slips) == 0 {
			all[len(all)-1] = append(all[len(all)-1], daySheet{o.On, sheet})
		} else {
			unread++
		}
	}
	return slices.DeleteFunc(all, func(s []daySheet) bool { return len(s) == 0 }), unread, nil
}

// followAll follows each measure with a limit.
func followAll(days []daySheet, today civil.Date) (list []MeasureProgress) {
	last := days[len(days)-1].sheet
	for m := range last.Rubric.Measures {
		side, judged := sideOf(last.Rubric, m, last.Band)
		if !judged {
			continue
		}
		byDay := map[string]day{}
		for ball, name := range rubric.Enumerations[rubric.Ball] {
			s := follow(days, m, ball, name, side, byDay)
			for _, one := range progress.Track(s, side) {
				list = append(list, shownSeries(last, m, one, side, byDay, today))
			}
		}
	}
	return list
}

// A day is what a session's mean cannot say of itself.
type day struct {
	band    string
	stature float64 // m
	u       float64 // of the mean
}

// follow collects the sessions of one measure and one ball; those of one day
// are one.
func follow(days []daySheet, m, ball int, name string, side progress.Side, by map[string]day) (list []progress.Session) {
	for _, d := range days {
		in := make([]bool, len(d.sheet.Reps))
		s := progress.Session{On: d.on, Kind: name}
		for i := range d.sheet.Reps {
			rep := &d.sheet.Reps[i]
			in[i] = len(rep.Held) == 0 && rep.Conditions.Ball == ball && rep.Cells[m].Seen
			if in[i] {
				s.Reps = append(s.Reps, rep.Cells[m].Value.X)
			}
		}
		if len(s.Reps) == 0 {
			continue
		}
		u := d.sheet.Rubric.Measures[m].U
		if mean := d.sheet.Mean(m, in); mean.Reps > 0 {
			u = mean.Value.U()
		}
		s.U = sharedPart(u, s.Reps)
		by[d.on+name] = day{d.sheet.Rubric.Bands[d.sheet.Band].Name, d.sheet.Stature.X, u}
		if n := len(list); n > 0 && list[n-1].On == d.on {
			list[n-1].Reps = append(list[n-1].Reps, s.Reps...)
			list[n-1].U = max(list[n-1].U, s.U)
			continue
		}
		list = append(list, s)
	}
	return list
}

// sharedPart is what is left of the uncertainty of a mean when the scatter of
// its reps is taken off; too much rather than too little.
func sharedPart(u float64, reps []float64) float64 {
	n := float64(len(reps))
	mean, squares := 0.0, 0.0
	for _, x := range reps {
		mean += x / n
	}
	for _, x := range reps {
		squares += (x - mean) * (x - mean)
	}
	scatter := 0.0
	if n > 1 {
		scatter = squares / (n - 1) / n
	}
	return math.Sqrt(max(u*u-scatter, 0))
}

// sideOf is which way is better, by the limits of all faults of a measure for a
// band.
func sideOf(r *rubric.Rubric, m, band int) (side progress.Side, judged bool) {
	side = progress.Between(math.Inf(-1), math.Inf(1))
	for i := range r.Faults {
		f := &r.Faults[i]
		if f.Measure != m || f.Limit.Kind != rubric.MustBe && (band >= len(f.Limit.Has) || !f.Limit.Has[band]) {
			continue
		}
		judged = true
		switch f.Limit.Kind {
		case rubric.AtMost:
			side.High = f.Limit.Hi[band]
		case rubric.AtLeast:
			side.Low = f.Limit.Lo[band]
		case rubric.Between:
			side = progress.Between(f.Limit.Lo[band], f.Limit.Hi[band])
		case rubric.MustBe:
			if side = progress.AtMost(0); f.Limit.MustBe {
				side = progress.AtLeast(1)
			}
		}
	}
	return side, judged
}

// inStature reports whether a measure is a share of standing height.
func inStature(u unit.Unit) bool { return u.Name == "stature" }

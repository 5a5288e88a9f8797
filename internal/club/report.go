package club

import (
	"context"
	"encoding/json"

	"rootcue/engine"
	"rootcue/engine/rubric"
	"rootcue/internal/store"
)

// A Report is what a report page is written from.
type Report struct {
	Assessment  *engine.Assessment // the engine's view with the instructor's drills, under the gates of its day and of today
	Rubric      *rubric.Rubric
	Review      *Review // nil: none was given
	Released    bool
	Since       []MeasureProgress // measures of this rubric up to this day, own past only
	BandChanged bool              // the age group is another than the session before
	Club        string
	Embed       []string // origins that may embed the page
}

// Report gives what the report of an assessment is written from.
func (c *Clubs) Report(ctx context.Context, a Actor, id string) (r Report, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		r, err = c.report(ctx, tx, a, id)
		return err
	})
	return r, err
}

func (c *Clubs) report(ctx context.Context, tx store.Tx, a Actor, id string) (r Report, err error) {
	row, err := tx.Assessment(ctx, id)
	if err != nil {
		return r, err
	}
	if err := c.judgedAgain(ctx, tx, row, &r); err != nil {
		return r, err
	}
	latest, err := tx.LatestReviews(ctx, []string{id})
	if err != nil {
		return r, err
	}
	if is, known := latest[id]; known {
		r.Review, r.Released = &Review{}, is.Released
		if err := json.Unmarshal(is.Body, r.Review); err != nil {
			return r, err
		}
		for i, w := range r.Assessment.WorkOn {
			for _, s := range r.Review.Cues {
				if s.Fault == w.Fault && len(s.Drills) > 0 {
					r.Assessment.WorkOn[i].Drills = drillsNamed(r.Rubric, s.Drills)
				}
			}
		}
	}
	g, err := c.newShownGate(ctx, tx)
	if err != nil {
		return r, err
	}
	gate, err := c.gateToday(ctx, tx, g, row.PlayerRef)
	if err != nil {
		return r, err
	}
	r.Assessment.ApplyGate(gate) // last, so that nothing put in passes it
	if a.Limited {
		r.Assessment.Cautions = withoutCauses(r.Assessment.Cautions)
		r.Assessment.Player.StatureM = finite(inf)
		r.Assessment.Notes = notesOfAll(r.Assessment.Notes)
	}
	club, err := tx.Club(ctx)
	if err != nil {
		return r, err
	}
	r.Club, r.Embed = club.Name, g.settings.FrameAncestors
	return r, c.since(ctx, tx, row, &r)
}

// judgedAgain makes the assessment once more from what is stored, under the
// gate of its own day.
func (c *Clubs) judgedAgain(ctx context.Context, tx store.Tx, row store.Assessment, r *Report) error {
	o, err := tx.Observation(ctx, row.ObservationID)
	if err != nil {
		return err
	}
	v, err := c.version(ctx, tx, row.Rubric, row.RubricVersion)
	if err != nil {
		return err
	}
	doc, slips := read(o.Input)
	if len(slips) > 0 {
		return &Refusal{slips}
	}
	gate, err := gateOf(row.Body)
	if err != nil {
		return err
	}
	r.Rubric = v.Rubric
	if r.Assessment, slips = engine.Assess(engine.Request{Rubric: v.Rubric, Version: v.Document.Version, Observation: doc.Observation, Gate: gate, ID: row.ID}); r.Assessment == nil {
		return &Refusal{slips}
	}
	return nil
}

// since follows the measures of this rubric up to the day of the assessment.
func (c *Clubs) since(ctx context.Context, tx store.Tx, row store.Assessment, r *Report) error {
	sheets, _, err := c.sheetsOf(ctx, tx, row.PlayerRef)
	if err != nil {
		return err
	}
	for _, of := range sheets {
		if of[0].sheet.Rubric.Name != row.Rubric {
			continue
		}
		n := 0
		for n < len(of) && of[n].on <= row.On {
			n++
		}
		if n == 0 {
			return nil
		}
		of = of[:n]
		for k := n - 1; k > 0; k-- {
			if of[k-1].on != of[n-1].on {
				r.BandChanged = of[k-1].sheet.Band != of[n-1].sheet.Band
				break
			}
		}
		on, err := dayOr(tx, Settings{}, row.On)
		if err != nil {
			return err
		}
		for _, p := range followAll(of, on) {
			if last := p.Sessions[len(p.Sessions)-1]; last.On == row.On && len(p.Sessions) > 1 {
				r.Since = append(r.Since, p)
			}
		}
	}
	return nil
}

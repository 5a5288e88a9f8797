package club

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"rootcue/engine"
	"rootcue/engine/civil"
	"rootcue/engine/progress"
	"rootcue/internal/store"
)

// released hands out the corrections of an assessment that a family may read
// from now on, and tells the webhooks.
func (c *Clubs) released(ctx context.Context, tx store.Tx, a Actor, row store.Assessment, body []byte) error {
	if err := handOut(ctx, tx, a, row, body); err != nil {
		return err
	}
	return c.tell(ctx, tx, EventReleased, &row.PlayerRef, map[string]any{"assessment": row.ID, "on": row.On, "rubric": row.Rubric})
}

// announce tells of stored assessments, in one message; where no instructor has
// to speak first, they are released at once.
func (c *Clubs) announce(ctx context.Context, tx store.Tx, a Actor, subs []store.Submission) error {
	ids := make([]string, len(subs))
	for i := range subs {
		ids[i] = subs[i].Assessment.ID
	}
	if err := c.tell(ctx, tx, EventStored, nil, map[string]any{"assessments": ids}); err != nil {
		return err
	}
	s, err := settingsOf(ctx, tx)
	if err != nil || s.ReviewFirst {
		return err
	}
	for i := range subs {
		row := subs[i].Assessment
		row.PlayerRef, row.On, row.Rubric, row.Session = subs[i].Observation.PlayerRef, subs[i].Observation.On, subs[i].Observation.Rubric, subs[i].Observation.Session
		if err := c.released(ctx, tx, a, row, row.Body); err != nil {
			return err
		}
	}
	return nil
}

// handOut notes each correction with its drills as handed out today; one that
// was noted of this assessment already, or today of the same session, such as
// after each of its reps, is not noted twice.
func handOut(ctx context.Context, tx store.Tx, a Actor, row store.Assessment, body []byte) error {
	var doc struct {
		WorkOn []engine.WorkOn `json:"work_on"`
	}
	if err := json.Unmarshal(body, &doc); err != nil {
		return err
	}
	s, err := settingsOf(ctx, tx)
	if err != nil {
		return err
	}
	today, err := s.today(tx)
	if err != nil {
		return err
	}
	known, err := handedOut(ctx, tx, row, today.String())
	if err != nil {
		return err
	}
	var cues []store.Cue
	add := func(fault, drill string) {
		if !known[[2]string{fault, drill}] {
			cues = append(cues, store.Cue{PlayerRef: row.PlayerRef, AssessmentID: &row.ID, Fault: fault, Drill: drill, HandedOn: today.String(), Who: a.KeyID})
		}
	}
	for _, w := range doc.WorkOn {
		if len(w.Drills) == 0 {
			add(w.Fault, "")
		}
		for _, d := range w.Drills {
			add(w.Fault, d.Drill)
		}
	}
	if len(cues) == 0 {
		return nil
	}
	return tx.AddCues(ctx, cues)
}

// handedOut are the faults and drills noted of an assessment, or on a day of
// others of its session.
func handedOut(ctx context.Context, tx store.Tx, row store.Assessment, day string) (known map[[2]string]bool, err error) {
	cues, err := tx.Cues(ctx, row.PlayerRef)
	if err != nil {
		return nil, err
	}
	known = map[[2]string]bool{}
	of := map[string]store.Assessment{row.ID: row}
	for _, q := range cues {
		if q.AssessmentID == nil || *q.AssessmentID != row.ID && q.HandedOn != day {
			continue
		}
		is, read := of[*q.AssessmentID]
		if !read {
			if is, err = tx.Assessment(ctx, *q.AssessmentID); err != nil {
				return nil, err
			}
			of[is.ID] = is
		}
		if is.Rubric == row.Rubric && is.On == row.On && is.Session == row.Session {
			known[[2]string{q.Fault, q.Drill}] = true
		}
	}
	return known, nil
}

// A CueNote says that a correction does not get on.
type CueNote struct {
	Code   string `json:"code" enum:"try-another-drill" doc:"Stable name of what is said"`
	Rubric string `json:"rubric"`
	Fault  string `json:"fault"`
	Says   string `json:"says"`
}

// Cues lists what was handed out to a player, newest first, and the notes on
// it.
func (c *Clubs) Cues(ctx context.Context, a Actor, ref string) (cues []store.Cue, notes []CueNote, err error) {
	notes = []CueNote{}
	err = c.view(ctx, a, func(tx store.Tx) error {
		if _, err := tx.Player(ctx, ref); err != nil {
			return err
		}
		if cues, err = tx.Cues(ctx, ref); err != nil {
			return err
		}
		notes, err = c.cueNotes(ctx, tx, ref, cues)
		return err
	})
	return cues, notes, err
}

// sessionsRunning is how often the same cue may be handed out without real
// change before another drill is the better try (common practice).
const sessionsRunning = 3

// cueNotes finds the cues handed out in the latest three sessions of a rubric
// in which the fault's measure did not really get better.
func (c *Clubs) cueNotes(ctx context.Context, tx store.Tx, ref string, cues []store.Cue) ([]CueNote, error) {
	notes := []CueNote{}
	sessions, err := sessionsOf(ctx, tx, cues)
	if err != nil || !slices.ContainsFunc(slices.Collect(maps.Values(sessions)), func(s []cueDay) bool { return len(s) >= sessionsRunning }) {
		return notes, err
	}
	sheets, _, err := c.sheetsOf(ctx, tx, ref)
	if err != nil {
		return nil, err
	}
	for _, of := range sheets {
		days := sessions[of[0].sheet.Rubric.Name]
		if len(days) < sessionsRunning {
			continue
		}
		from, to := days[sessionsRunning-1].on, days[0].on
		for i := range of[0].sheet.Rubric.Faults {
			f := &of[0].sheet.Rubric.Faults[i]
			same := !slices.ContainsFunc(days[:sessionsRunning], func(d cueDay) bool { return !d.faults[f.Name] })
			if same && f.Measure >= 0 && !gotBetter(of, f.Measure, from, to) {
				notes = append(notes, CueNote{"try-another-drill", of[0].sheet.Rubric.Name, f.Name,
					fmt.Sprintf("%s: handed out in %d sessions running without a real change. Try another drill, or look whether another fault starts it.", f.Title, sessionsRunning)})
			}
		}
	}
	return notes, nil
}

// A cueDay is the session of one day, with the faults whose cues were handed out
// after it.
type cueDay struct {
	on     string
	faults map[string]bool
}

// sessionsOf are the sessions after which cues were handed out, by rubric, newest
// first. A day is one session, however often it was judged.
func sessionsOf(ctx context.Context, tx store.Tx, cues []store.Cue) (map[string][]cueDay, error) {
	sessions, read := map[string][]cueDay{}, map[string]store.Assessment{}
	for _, q := range cues {
		if q.AssessmentID == nil {
			continue
		}
		row, known := read[*q.AssessmentID]
		if !known {
			var err error
			if row, err = tx.Assessment(ctx, *q.AssessmentID); err != nil {
				return nil, err
			}
			read[row.ID] = row
		}
		i := slices.IndexFunc(sessions[row.Rubric], func(d cueDay) bool { return d.on == row.On })
		if i < 0 {
			i = len(sessions[row.Rubric])
			sessions[row.Rubric] = append(sessions[row.Rubric], cueDay{row.On, map[string]bool{}})
		}
		sessions[row.Rubric][i].faults[q.Fault] = true
	}
	for _, days := range sessions {
		slices.SortFunc(days, func(x, y cueDay) int { return cmpText(y.on, x.on) })
	}
	return sessions, nil
}

// gotBetter reports whether a measure really got better between two days, dry
// or live.
func gotBetter(days []daySheet, m int, from, to string) bool {
	var some []daySheet
	for _, d := range days {
		if d.on >= from && d.on <= to {
			some = append(some, d)
		}
	}
	if len(some) == 0 {
		return false
	}
	for _, p := range followAll(some, civil.Date{Year: 1, Month: 1, Day: 1}) {
		if p.Measure == some[0].sheet.Rubric.Measures[m].Name && p.Overall != nil && p.Overall.Word == progress.Better {
			return true
		}
	}
	return false
}

// MarkCue notes the day on which a cue was done, nil to take that back.
func (c *Clubs) MarkCue(ctx context.Context, a Actor, ref, id string, doneOn *string) error {
	if doneOn != nil {
		if _, err := civil.Parse(*doneOn); err != nil {
			return refuse("bad-date", "/done_on", *doneOn, "a date such as 2026-05-09", "")
		}
	}
	return c.write(ctx, a, func(tx store.Tx) error {
		cues, err := tx.Cues(ctx, ref)
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(cues, func(k store.Cue) bool { return k.ID == id }) {
			return store.ErrNotFound
		}
		if err := tx.MarkCue(ctx, id, doneOn); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "cue.marked", "cue/"+id, map[string]any{"done": doneOn != nil})
	})
}

package club

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"

	"rootcue/engine"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/internal/store"
)

// A Review is the instructor's word on an assessment. The engine's view stays
// beside it.
type Review struct {
	SetAside []SetAside `json:"set_aside,omitempty" maxItems:"50" doc:"Findings that do not hold, each with the reason"`
	Dropped  []SetAside `json:"dropped,omitempty" maxItems:"50" doc:"Corrections that are not handed out although the finding holds"`
	Cues     []CueSwap  `json:"cues,omitempty" maxItems:"50" doc:"Corrections handed out in other words or with other drills"`
	Note     string     `json:"note,omitempty" maxLength:"2000" doc:"To the family; no names, no diagnoses"`
}

// A SetAside names a finding and says why it is not handed out.
type SetAside struct {
	Fault  string `json:"fault"`
	Reason string `json:"reason" minLength:"1" maxLength:"500" doc:"Why; the report states it"`
}

// A CueSwap hands out a correction otherwise than the rubric does.
type CueSwap struct {
	Fault  string   `json:"fault" doc:"Of work_on"`
	Cue    string   `json:"cue,omitempty" maxLength:"300" doc:"The instructor's words; the rubric's when left out"`
	Drills []string `json:"drills,omitempty" maxItems:"10" doc:"Names of drills of the rubric; the rubric's choice when left out"`
}

// A Word is the latest review of an assessment, if there is one, and whether the
// family may be told; revision 0 is none.
type Word struct {
	Revision  int
	Released  bool
	Who       string // id of the key
	At        *store.Time
	Review    Review
	ConsentOn *string // day of the guardian's consent, nil without one
}

// A Reviewed assessment shows what the engine found and what the instructor
// made of it, each as such, under the gate of the day.
type Reviewed struct {
	Word
	Engine     []byte // the assessment document
	Instructor []byte // the same with the instructor's corrections in work_on
}

// ErrReplaced: the assessment was replaced by a later one.
var ErrReplaced = errors.New("replaced by a later assessment")

// Review gives the latest review of an assessment; revision 0 without one.
func (c *Clubs) Review(ctx context.Context, a Actor, id string) (r Reviewed, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		r, err = c.reviewed(ctx, tx, a, id)
		return err
	})
	return r, err
}

// Words gives the instructor's word on many assessments by their ids, but those
// of players unknown; players are whose they are, by id.
func (c *Clubs) Words(ctx context.Context, a Actor, players map[string]string) (words map[string]Word, err error) {
	words = make(map[string]Word, len(players))
	err = c.view(ctx, a, func(tx store.Tx) error {
		latest, err := tx.LatestReviews(ctx, slices.Collect(maps.Keys(players)))
		if err != nil {
			return err
		}
		for id, ref := range players {
			player, err := tx.Player(ctx, ref)
			if isNotFound(err) { // erased meanwhile, and the assessment too
				continue
			} else if err != nil {
				return err
			}
			if words[id], err = wordOf(latest[id], player); err != nil {
				return err
			}
		}
		return nil
	})
	return words, err
}

// wordOf is a stored review, the zero one if there is none, as a word.
func wordOf(is store.Review, player store.Player) (w Word, err error) {
	w.ConsentOn = player.ConsentOn
	if is.Revision == 0 {
		return w, nil
	}
	w.Revision, w.Released, w.Who, w.At = is.Revision, is.Released, is.Who, is.At.Ptr()
	return w, json.Unmarshal(is.Body, &w.Review)
}

// PutReview keeps the instructor's word as the next revision and, when it is
// released, hands the corrections out and tells the family's webhook. base is
// the revision it was made from; another one now is ErrChanged.
func (c *Clubs) PutReview(ctx context.Context, a Actor, id string, review Review, release bool, base int) (r Reviewed, err error) {
	body, err := json.Marshal(review)
	if err != nil {
		return r, err
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		row, err := tx.Assessment(ctx, id)
		if err != nil {
			return err
		}
		if row.Status != store.Current {
			return ErrReplaced
		}
		v, err := c.version(ctx, tx, row.Rubric, row.RubricVersion)
		if err != nil {
			return err
		}
		if err := review.check(row.Body, v.Rubric); err != nil {
			return err
		}
		kept, err := tx.AddReview(ctx, store.Review{AssessmentID: id, Body: body, Released: release, Who: a.KeyID}, base)
		if errors.Is(err, store.ErrConflict) {
			return ErrChanged
		}
		if err != nil {
			return err
		}
		if r, err = c.reviewed(ctx, tx, a, id); err != nil {
			return err
		}
		if release {
			if err := c.released(ctx, tx, a, row, r.Instructor); err != nil {
				return err
			}
		}
		return logged(ctx, tx, a.KeyID, "assessment.reviewed", "assessment/"+id, map[string]any{"revision": kept.Revision, "released": release})
	})
	return r, err
}

// reviewed puts the engine's and the instructor's view together.
func (c *Clubs) reviewed(ctx context.Context, tx store.Tx, a Actor, id string) (r Reviewed, err error) {
	row, err := tx.Assessment(ctx, id)
	if err != nil {
		return r, err
	}
	latest, err := tx.LatestReviews(ctx, []string{id})
	if err != nil {
		return r, err
	}
	player, err := tx.Player(ctx, row.PlayerRef)
	if err != nil {
		return r, err
	}
	if r.Word, err = wordOf(latest[id], player); err != nil {
		return r, err
	}
	v, err := c.version(ctx, tx, row.Rubric, row.RubricVersion)
	if err != nil {
		return r, err
	}
	g, err := c.newShownGate(ctx, tx)
	if err != nil {
		return r, err
	}
	gate, err := c.gateToday(ctx, tx, g, row.PlayerRef)
	if err != nil {
		return r, err
	}
	same := func(w []engine.WorkOn) []engine.WorkOn { return w }
	if r.Engine, err = rework(row.Body, gate, same); err != nil {
		return r, err
	}
	r.Instructor, err = rework(row.Body, gate, func(w []engine.WorkOn) []engine.WorkOn { return r.Review.apply(w, v.Rubric) })
	if err == nil && a.Limited {
		r.Engine, err = shown(a, r.Engine)
	}
	if err == nil && a.Limited {
		r.Instructor, err = shown(a, r.Instructor)
	}
	return r, err
}

// apply makes the instructor's corrections out of the engine's. What each
// brings on the clock was reckoned with those above it: it is no longer known
// below one that is left out.
func (r Review) apply(list []engine.WorkOn, of *rubric.Rubric) []engine.WorkOn {
	out, left := []engine.WorkOn{}, false
	for _, w := range list {
		if r.leavesOut(w.Fault) {
			left = true
			continue
		}
		if i := slices.IndexFunc(r.Cues, func(c CueSwap) bool { return c.Fault == w.Fault }); i >= 0 {
			if r.Cues[i].Cue != "" {
				w.Cue = r.Cues[i].Cue
			}
			if len(r.Cues[i].Drills) > 0 {
				w.Drills = drillsNamed(of, r.Cues[i].Drills)
			}
		}
		if left {
			w.ExchangeAfterS, w.PopAfterS, w.ChanceOutAfter = finite(inf), finite(inf), finite(inf)
		}
		out = append(out, w)
	}
	return out
}

func (r Review) leavesOut(fault string) bool {
	is := func(s SetAside) bool { return s.Fault == fault }
	return slices.ContainsFunc(r.SetAside, is) || slices.ContainsFunc(r.Dropped, is)
}

func drillsNamed(of *rubric.Rubric, names []string) (list []engine.DrillToDo) {
	for _, n := range names {
		for _, d := range of.Drills {
			if d.Name == n {
				list = append(list, engine.DrillToDo{Drill: d.Name, Title: d.Title, How: d.How, Dose: d.Dose, Throws: d.Throws})
			}
		}
	}
	return list
}

// check refuses a review of what the assessment does not hold.
func (r Review) check(body []byte, of *rubric.Rubric) error {
	var doc struct {
		Findings []struct{ Fault string } `json:"findings"`
		WorkOn   []struct{ Fault string } `json:"work_on"`
	}
	if err := json.Unmarshal(body, &doc); err != nil {
		return err
	}
	found, work, drills := []string{}, []string{}, []string{}
	for _, f := range doc.Findings {
		found = append(found, f.Fault)
	}
	for _, w := range doc.WorkOn {
		work = append(work, w.Fault)
	}
	for _, d := range of.Drills {
		drills = append(drills, d.Name)
	}
	var slips []place.Problem
	among := func(pointer, what, name string, known []string) {
		if !slices.Contains(known, name) {
			slips = append(slips, place.Problem{Code: "unknown-" + what, Pointer: pointer, Found: strconv.Quote(name), Wanted: place.List(known)})
		}
	}
	for i, s := range r.SetAside {
		among(fmt.Sprintf("/set_aside/%d/fault", i), "finding", s.Fault, found)
	}
	for i, s := range r.Dropped {
		among(fmt.Sprintf("/dropped/%d/fault", i), "correction", s.Fault, work)
	}
	for i, s := range r.Cues {
		among(fmt.Sprintf("/cues/%d/fault", i), "correction", s.Fault, work)
		for k, d := range s.Drills {
			among(fmt.Sprintf("/cues/%d/drills/%d", i, k), "drill", d, drills)
		}
	}
	if len(slips) > 0 {
		return &Refusal{slips}
	}
	return nil
}

package club

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"rootcue/internal/store"
)

// Kinds of what is recorded beside a standing.
const (
	KindDecision = "decision"
	KindAppeal   = "appeal"
)

// A Ruling is what the club decided on a player, or an appeal against that. The
// standing decides nothing.
type Ruling struct {
	Bib      string `json:"-"`
	Kind     string `json:"-"` // KindDecision or KindAppeal
	Chosen   *bool  `json:"chosen,omitempty" doc:"Of a decision: the player has a place"`
	Group    string `json:"group,omitempty" maxLength:"100" doc:"Of a decision: the team or group of the place"`
	Feedback string `json:"feedback,omitempty" maxLength:"4000" doc:"Of a decision: what the player is told, chosen or not; no names of others, no places"`
	Why      string `json:"why,omitempty" maxLength:"4000" doc:"The reason; an appeal needs one"`
	Outcome  string `json:"outcome,omitempty" enum:"open,upheld,changed" doc:"Of an appeal: how it ended; open when left out"`
}

// A Ruled entry is a ruling as it was kept.
type Ruled struct {
	ID string
	Ruling
	Who string
	At  store.Time
}

// Rulings are all that was decided at a tryout.
type Rulings struct {
	Items           []Ruled  // oldest first; the last decision on a bib counts
	Undecided       []string // bibs on which nothing was decided
	WithoutFeedback []string // bibs whose last decision tells the player nothing, or that have none
}

// Rule records a decision or an appeal. It may come before or after closing.
func (c *Clubs) Rule(ctx context.Context, a Actor, id string, r Ruling) (kept Ruled, err error) {
	if err := r.check(); err != nil {
		return kept, err
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		t, err := tryout(ctx, tx, id)
		if err != nil {
			return err
		}
		entries, err := tx.Roster(ctx, id)
		if err != nil {
			return err
		}
		i := slices.IndexFunc(entries, func(e store.RosterEntry) bool { return e.Bib == r.Bib })
		if i < 0 {
			return refuse("unknown-bib", "/bib", found(r.Bib, "bib"), "a bib of the roster", "")
		}
		body, err := json.Marshal(r)
		if err != nil {
			return err
		}
		d, err := tx.AddDecision(ctx, store.Decision{TryoutID: id, Bib: r.Bib, Kind: r.Kind, Body: body, Who: a.KeyID})
		if err != nil {
			return err
		}
		kept = Ruled{d.ID, r, d.Who, d.At}
		return t.logPlayer(ctx, tx, a, "tryout."+r.Kind, entries[i].PlayerRef, map[string]string{"decision": d.ID})
	})
	return kept, err
}

// check refuses what does not belong to the kind.
func (r *Ruling) check() error {
	var wrong slips
	switch r.Kind {
	case KindDecision:
		if r.Chosen == nil {
			wrong.add("missing-key", "/chosen", `no "chosen"`, "true or false: whether the player has a place", "")
		}
		if r.Outcome != "" {
			wrong.add("unknown-key", "/outcome", "an outcome of a decision", "none: it belongs to an appeal", "")
		}
	case KindAppeal:
		if strings.TrimSpace(r.Why) == "" {
			wrong.add("missing-key", "/why", "no reason", "why the decision is appealed against", "")
		}
		if r.Chosen != nil || r.Group != "" || r.Feedback != "" {
			wrong.add("unknown-key", "", "an appeal with chosen, group or feedback", "why and outcome alone", "record a new decision beside it")
		}
		if r.Outcome == "" {
			r.Outcome = "open"
		}
	default:
		wrong.add("unknown-kind", "/kind", found(r.Kind, "kind"), "decision or appeal", "")
	}
	if len(wrong) > 0 {
		return &Refusal{wrong}
	}
	return nil
}

// Rulings lists what was decided, and on whom nothing was or who was told
// nothing yet. Withdrawn players wait for nothing.
func (c *Clubs) Rulings(ctx context.Context, a Actor, id string) (Rulings, error) {
	e, err := c.Event(ctx, a, id)
	if err != nil {
		return Rulings{}, err
	}
	return e.Rulings()
}

// Rulings are those at the moment of the event.
func (e *Event) Rulings() (Rulings, error) {
	l := Rulings{Items: []Ruled{}, Undecided: []string{}, WithoutFeedback: []string{}}
	last := map[string]Ruled{}
	for _, d := range e.decisions {
		r, err := ruled(d)
		if err != nil {
			return l, err
		}
		l.Items = append(l.Items, r)
		if r.Kind == KindDecision {
			last[r.Bib] = r
		}
	}
	for _, p := range e.playing {
		r, decided := last[p.Bib]
		if !decided {
			l.Undecided = append(l.Undecided, p.Bib)
		}
		if strings.TrimSpace(r.Feedback) == "" {
			l.WithoutFeedback = append(l.WithoutFeedback, p.Bib)
		}
	}
	return l, nil
}

func ruled(d store.Decision) (Ruled, error) {
	r := Ruled{ID: d.ID, Who: d.Who, At: d.At}
	in := json.NewDecoder(bytes.NewReader(d.Body))
	in.DisallowUnknownFields()
	if err := in.Decode(&r.Ruling); err != nil {
		return r, fmt.Errorf("decision %s: %w", d.ID, err)
	}
	r.Bib, r.Kind = d.Bib, d.Kind
	return r, nil
}

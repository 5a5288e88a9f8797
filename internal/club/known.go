package club

import (
	"context"
	"fmt"
	"slices"

	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/internal/store"
)

// known is what is stored of the documents of a batch already.
type known struct {
	byHash     map[string]store.Observation
	byOccasion map[occasion][]store.Observation
}

func lookUp(ctx context.Context, tx store.Tx, parts []*part) (k known, err error) {
	var hashes []string
	var days []store.PlayerDay
	for _, p := range parts {
		if p.doc != nil {
			hashes = append(hashes, p.r.hash)
			days = append(days, store.PlayerDay{Player: p.r.Player.Ref, On: p.r.On.String()})
		}
	}
	if k.byHash, err = tx.ObservationsByHash(ctx, hashes); err != nil {
		return k, err
	}
	that, err := tx.ObservationsOn(ctx, days)
	k.byOccasion = map[occasion][]store.Observation{}
	for _, o := range that {
		at := occasion{o.PlayerRef, o.Rubric, o.On, o.Session, o.Rater}
		k.byOccasion[at] = append(k.byOccasion[at], o)
	}
	return k, err
}

// settle decides what a part is: known, a correction, more reps, or new. A part
// that joins or corrects another becomes the whole of both. What a session held
// once and holds no longer is a correction back to it.
func (k *known) settle(ctx context.Context, tx store.Tx, p *part) error {
	if o, ok := k.byHash[p.r.hash]; ok && (o.SupersededBy == nil || p.r.Session == "") {
		return p.repeats(ctx, tx, o)
	}
	p.status = Stored
	for _, o := range k.byOccasion[p.r.occasion()] {
		if p.r.Session == "" {
			if was, slips := read(o.Input); len(slips) == 0 && slices.Equal(was.repNumbers(), p.r.repNumbers()) {
				p.status, p.supersedes = Corrected, &o.ID
				return nil
			}
			continue
		}
		return p.join(ctx, tx, o)
	}
	return nil
}

// repeats makes the part the same as a stored observation, or as what replaced
// that since.
func (p *part) repeats(ctx context.Context, tx store.Tx, o store.Observation) (err error) {
	for o.SupersededBy != nil {
		if o, err = tx.Observation(ctx, *o.SupersededBy); err != nil {
			return err
		}
	}
	p.status, p.id = Same, o.ID
	current, err := tx.Assessments(ctx, store.AssessmentFilter{ObservationID: o.ID}, store.Page{Limit: 1})
	if len(current) > 0 {
		p.assessed = current[0].ID
	}
	return err
}

// join merges the part into what is stored of its session.
func (p *part) join(ctx context.Context, tx store.Tx, o store.Observation) error {
	merged, corrects, err := merge(o.Input, p.r.input)
	if err != nil {
		return err
	}
	whole, slips := read(merged)
	if i := slices.IndexFunc(slips, func(s place.Problem) bool { return s.Code == observation.CodeTooMany }); i >= 0 {
		p.refuse(place.Problem{Code: observation.CodeTooMany, Pointer: "/reps", Found: fmt.Sprintf("reps that make more than %d of this session", observation.MostReps), Wanted: fmt.Sprintf("at most %d in a session", observation.MostReps), Hint: "begin another session"})
		return nil
	}
	if len(slips) > 0 {
		p.refuse(slips...)
		return nil
	}
	if whole.hash == o.InputHash {
		return p.repeats(ctx, tx, o)
	}
	p.r, p.supersedes = whole, &o.ID
	if corrects {
		p.status = Corrected
	}
	return nil
}

// save keeps what is new, in as few statements as there can be, and logs it.
func (c *Clubs) save(ctx context.Context, tx store.Tx, a Actor, parts []*part) error {
	var subs []store.Submission
	var players []string
	var changes []store.Change
	for _, p := range parts {
		if !p.kept() {
			continue
		}
		players = append(players, p.r.Player.Ref)
		subs = append(subs, store.Submission{Observation: p.observation(), Assessment: p.assessment, Verdicts: p.verdicts})
		changes = append(changes, store.Change{Who: a.KeyID, What: "observation." + p.status, Entity: "observation/" + p.id})
	}
	if len(subs) == 0 {
		return nil
	}
	if err := tx.EnsurePlayers(ctx, players...); err != nil {
		return err
	}
	if err := tx.Save(ctx, subs); err != nil {
		return err
	}
	if err := countThrows(ctx, tx, a, parts); err != nil {
		return err
	}
	if err := c.announce(ctx, tx, a, subs); err != nil {
		return err
	}
	return tx.AppendChanges(ctx, changes)
}

func (p *part) observation() store.Observation {
	return store.Observation{
		ID: p.id, PlayerRef: p.r.Player.Ref, Rubric: p.r.Rubric, On: p.r.On.String(), Session: p.r.Session, Rater: p.r.Rater,
		Input: p.r.input, InputHash: p.r.hash, Supersedes: p.supersedes,
	}
}

// lines are the answers to the lines of a part, in order.
func (p *part) lines() []Line {
	from := p
	if p.same != nil {
		from = p.same
	}
	answer := Line{Status: p.status, Observation: from.id, Assessment: from.assessed}
	if from.status == Refused {
		answer = Line{Status: Refused, Slips: from.Slips}
	}
	lines := slices.Clone(p.Rows)
	for _, n := range p.Lines {
		answer.Line = n
		lines = append(lines, answer)
	}
	slices.SortStableFunc(lines, func(x, y Line) int { return x.Line - y.Line })
	return lines
}

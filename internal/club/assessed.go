package club

import (
	"context"

	"rootcue/engine/measure"
	"rootcue/engine/observation"
	"rootcue/engine/rubric"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// thrown counts the reps in which the ball was let go, dry or live: each is one
// throw to a base.
func thrown(r *rubric.Rubric, o *observation.Observation) int {
	sheet, slips := measure.Read(r, o)
	if len(slips) > 0 {
		return 0 // it is refused
	}
	defer sheet.Release()
	n := 0
	for i := range sheet.Reps {
		if c := &sheet.Reps[i].Conditions; c.Seen[rubric.Thrown] && c.Thrown {
			n++
		}
	}
	return n
}

// countThrows enters the throws of assessed observations into the ledger, in
// place of those of an observation that one corrects.
func countThrows(ctx context.Context, tx store.Tx, a Actor, parts []*part) error {
	var throws []store.Throw
	for _, p := range parts {
		if !p.kept() {
			continue
		}
		before, err := countedFrom(ctx, tx, p)
		if err != nil {
			return err
		}
		if p.throws == 0 && before == nil {
			continue
		}
		n := p.throws
		throws = append(throws, store.Throw{
			PlayerRef: p.r.Player.Ref, Date: p.r.On.String(), Kind: string(workload.BaseThrows), Count: &n,
			Source: sourceAssessed, AssessmentID: &p.assessment.ID, Supersedes: before, Who: a.KeyID,
		})
	}
	if len(throws) == 0 {
		return nil
	}
	return tx.AddThrows(ctx, throws)
}

// countedFrom finds the entry counted from the observation that a part
// corrects.
func countedFrom(ctx context.Context, tx store.Tx, p *part) (*string, error) {
	if p.supersedes == nil {
		return nil, nil
	}
	was, err := tx.Assessments(ctx, store.AssessmentFilter{ObservationID: *p.supersedes, Old: true}, store.Page{})
	if err != nil {
		return nil, err
	}
	on := p.r.On.String()
	throws, err := tx.Throws(ctx, p.r.Player.Ref, on, on, false)
	if err != nil {
		return nil, err
	}
	for _, t := range throws {
		for _, a := range was {
			if t.Source == sourceAssessed && t.AssessmentID != nil && *t.AssessmentID == a.ID {
				return &t.ID, nil
			}
		}
	}
	return nil, nil
}

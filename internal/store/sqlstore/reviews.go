package sqlstore

import (
	"context"
	"fmt"
	"slices"

	"rootcue/internal/store"
)

// AddReview implements store.Reviews.
func (t *tx) AddReview(ctx context.Context, r store.Review, base int) (store.Review, error) {
	newest, err := t.newest(ctx, "reviews", "revision", "assessment_id = ?", r.AssessmentID)
	if err != nil {
		return r, err
	}
	if newest != base {
		return r, fmt.Errorf("%w: review is at revision %d, this builds on %d", store.ErrConflict, newest, base)
	}
	r.Revision = base + 1
	t.date(&r.At)
	return r, insert(ctx, t, "reviews", "", r)
}

// Reviews implements store.Reviews.
func (t *tx) Reviews(ctx context.Context, assessmentID string) ([]store.Review, error) {
	return list[store.Review](ctx, t, "reviews", "AND assessment_id = ? ORDER BY revision DESC", assessmentID)
}

// LatestReviews implements store.Reviews.
func (t *tx) LatestReviews(ctx context.Context, assessmentIDs []string) (map[string]store.Review, error) {
	latest := map[string]store.Review{}
	for chunk := range slices.Chunk(assessmentIDs, valuesPerInsert) {
		err := each(ctx, t, "reviews", "AND assessment_id IN (?) ORDER BY revision", []any{chunk}, func(r store.Review) error {
			latest[r.AssessmentID] = r
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	return latest, nil
}

// AddCues implements store.Cues.
func (t *tx) AddCues(ctx context.Context, cues []store.Cue) error {
	for i := range cues {
		t.begin(&cues[i].ID, &cues[i].At)
	}
	return insert(ctx, t, "cues", "", cues...)
}

// Cues implements store.Cues.
func (t *tx) Cues(ctx context.Context, playerRef string) ([]store.Cue, error) {
	return list[store.Cue](ctx, t, "cues", "AND player_ref = ? ORDER BY handed_on DESC, id DESC", playerRef)
}

// CuesFor implements store.Cues.
func (t *tx) CuesFor(ctx context.Context, rubric, fault string) ([]store.Cue, error) {
	const of = "AND fault = ? AND assessment_id IN (SELECT a.id FROM assessments a WHERE a.club_id = @club AND a.rubric = ?) ORDER BY handed_on, id"
	return list[store.Cue](ctx, t, "cues", of, fault, rubric)
}

// MarkCue implements store.Cues.
func (t *tx) MarkCue(ctx context.Context, id string, doneOn *string) error {
	return t.update(ctx, "cues", "done_on = ?", "id = ?", doneOn, id)
}

package sqlstore

import (
	"context"
	"slices"

	"rootcue/internal/store"
)

// ExportPlayer implements store.Players. It reads the very rows that an
// erasure deletes.
func (t *tx) ExportPlayer(ctx context.Context, ref string) (store.PlayerData, error) {
	var d store.PlayerData
	var err error
	if d.Player, err = t.Player(ctx, ref); err != nil {
		return d, err
	}
	for _, read := range []func() error{
		held(ctx, t, "observations", ofPlayer, "on_date, id", ref, &d.Observations),
		held(ctx, t, "assessments", ofPlayer, "on_date, id", ref, &d.Assessments),
		held(ctx, t, "reviews", ofAssessments, "at, revision", ref, &d.Reviews),
		held(ctx, t, "cues", ofPlayer, "handed_on, id", ref, &d.Cues),
		held(ctx, t, "throws", ofPlayer, "on_date, id", ref, &d.Throws),
		held(ctx, t, "roster", ofPlayer, "at, tryout_id, bib", ref, &d.Roster),
		held(ctx, t, "grades", ofBibs, "at, tryout_id, bib, evaluator, item, look", ref, &d.Grades),
		held(ctx, t, "recusals", ofBibs, "at, tryout_id, bib, evaluator", ref, &d.Recusals),
		held(ctx, t, "decisions", ofBibs, "at, id", ref, &d.Decisions),
		held(ctx, t, "group_members", ofPlayer, "group_name", ref, &d.Memberships),
		held(ctx, t, "links", ofAssessments, "created_at, id", ref, &d.Links),
		held(ctx, t, "deliveries", ofPlayer, "at, id", ref, &d.Deliveries),
	} {
		if err := read(); err != nil {
			return d, err
		}
	}
	d.Changes, err = t.changesOf(ctx, entities(d))
	return d, err
}

func held[T any](ctx context.Context, t *tx, table, where, order, ref string, into *[]T) func() error {
	return func() (err error) {
		*into, err = list[T](ctx, t, table, "AND "+where+" ORDER BY "+order, ref)
		return err
	}
}

// entities are the names under which the log may speak of a player.
func entities(d store.PlayerData) []string {
	names := []string{"player/" + d.Player.ID}
	for _, o := range d.Observations {
		names = append(names, "observation/"+o.ID)
	}
	for _, a := range d.Assessments {
		names = append(names, "assessment/"+a.ID)
	}
	for _, c := range d.Cues {
		names = append(names, "cue/"+c.ID)
	}
	for _, w := range d.Throws {
		names = append(names, "throw/"+w.ID)
	}
	for _, x := range d.Decisions {
		names = append(names, "decision/"+x.ID)
	}
	for _, l := range d.Links {
		names = append(names, "link/"+l.ID)
	}
	return names
}

func (t *tx) changesOf(ctx context.Context, names []string) ([]store.Change, error) {
	found := []store.Change{}
	for chunk := range slices.Chunk(names, valuesPerInsert) {
		part, err := list[store.Change](ctx, t, "changes", "AND entity IN (?)", chunk)
		if err != nil {
			return nil, err
		}
		found = append(found, part...)
	}
	slices.SortFunc(found, func(a, b store.Change) int { return int(a.Seq - b.Seq) })
	return found, nil
}

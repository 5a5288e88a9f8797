package sqlstore

import (
	"context"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"rootcue/internal/store"
)

// exported reads a table page by page, in the order of its primary key.
type exported struct {
	key      []string // after club_id
	ofPlayer string   // condition for the rows of one player; the very one that an erasure deletes by
	page     func(ctx context.Context, t *tx, rest string, args []any) ([]any, []any, error)
}

// exportOf tells how a table with rows of type T is read.
func exportOf[T any](table, ofPlayer string, key ...string) exported {
	return exported{key, ofPlayer, func(ctx context.Context, t *tx, rest string, args []any) (rows, last []any, err error) {
		err = each(ctx, t, table, rest, args, func(row T) error {
			rows = append(rows, row)
			return nil
		})
		if len(rows) == 0 {
			return rows, nil, err
		}
		columns, values := shapeOf(reflect.TypeFor[T]()).columns, fields(reflect.ValueOf(rows[len(rows)-1]))
		for _, k := range key {
			last = append(last, values[slices.Index(columns, k)])
		}
		return rows, last, err
	}}
}

var exports = map[string]exported{
	"players":       exportOf[store.Player]("players", "ref = ?", "ref"),
	"player_groups": exportOf[store.Group]("player_groups", "", "name"),
	"group_members": exportOf[store.Membership]("group_members", ofPlayer, "group_name", "player_ref"),
	"observations":  exportOf[store.Observation]("observations", ofPlayer, "id"),
	"assessments":   exportOf[store.Assessment]("assessments", ofPlayer, "id"),
	"reviews":       exportOf[store.Review]("reviews", ofAssessments, "assessment_id", "revision"),
	"cues":          exportOf[store.Cue]("cues", ofPlayer, "id"),
	"throws":        exportOf[store.Throw]("throws", ofPlayer, "id"),
	"tryouts":       exportOf[store.Tryout]("tryouts", "", "id"),
	"roster":        exportOf[store.RosterEntry]("roster", ofPlayer, "tryout_id", "bib"),
	"grades":        exportOf[store.Grade]("grades", ofBibs, "tryout_id", "bib", "evaluator", "item", "look"),
	"recusals":      exportOf[store.Recusal]("recusals", ofBibs, "tryout_id", "bib", "evaluator"),
	"decisions":     exportOf[store.Decision]("decisions", ofBibs, "id"),
	"documents":     exportOf[store.Document]("documents", "", "kind", "name", "version"),
	"links":         exportOf[store.Link]("links", ofAssessments, "id"),
	"keys":          exportOf[store.Key]("keys", "", "id"),
	"webhooks":      exportOf[store.Webhook]("webhooks", "", "id"),
	"deliveries":    exportOf[store.Delivery]("deliveries", ofPlayer, "id"),
	"changes":       exportOf[store.Change]("changes", changesOfPlayer(), "seq"),
}

// changesOfPlayer is the condition for entries of the log about a player or a
// row of theirs.
func changesOfPlayer() string {
	var names []string
	for _, e := range []struct {
		name string
		deletion
	}{
		{"player", deletion{"players", "ref = ?"}}, {"observation", deletion{"observations", ofPlayer}}, {"assessment", deletion{"assessments", ofPlayer}},
		{"cue", deletion{"cues", ofPlayer}}, {"throw", deletion{"throws", ofPlayer}}, {"decision", deletion{"decisions", ofBibs}}, {"link", deletion{"links", ofAssessments}},
	} {
		names = append(names, "SELECT '"+e.name+"/' || id FROM "+e.table+" WHERE club_id = @club AND "+e.where)
	}
	return "entity IN (" + strings.Join(names, " UNION ALL ") + ")"
}

// ExportRows implements store.Exports.
func (t *tx) ExportRows(ctx context.Context, table, player, after string, limit int) (rows []any, next string, err error) {
	x, known := exports[table]
	if !known {
		return nil, "", fmt.Errorf("%w: no table %q in an export", store.ErrNotFound, table)
	}
	rest, args := "", []any{}
	if player != "" {
		rest = "AND " + x.ofPlayer + " "
		for range strings.Count(x.ofPlayer, "?") {
			args = append(args, player)
		}
	}
	columns := strings.Join(x.key, ", ")
	if after != "" {
		var from []any
		if err := decode([]byte(after), &from); err != nil || len(from) != len(x.key) {
			return nil, "", fmt.Errorf("%w: no place in %s: %.60q", store.ErrInvalid, table, after)
		}
		for _, v := range from {
			args = append(args, number(v))
		}
		rest += "AND (" + columns + ") > (?" + strings.Repeat(", ?", len(from)-1) + ") "
	}
	limit = bounded(limit)
	rows, last, err := x.page(ctx, t, rest+"ORDER BY "+columns+" LIMIT ?", append(args, limit))
	if err != nil || len(rows) < limit {
		return rows, "", err
	}
	b, err := json.Marshal(last)
	return rows, string(b), err
}

// AddExport implements store.Exports.
func (t *tx) AddExport(ctx context.Context, e store.Export) (store.Export, error) {
	t.begin(&e.ID, &e.At)
	return e, insert(ctx, t, "exports", "", e)
}

// DropExports implements store.Exports.
func (t *tx) DropExports(ctx context.Context) error {
	n, err := t.remove(ctx, "exports", "expires <= ?", t.now) // with their parts
	t.erased = t.erased || n > 0
	return err
}

// Export implements store.Exports.
func (t *tx) Export(ctx context.Context, id string) (store.Export, error) {
	return one[store.Export](ctx, t, "exports", "AND id = ? AND expires > ?", id, t.now)
}

// exportPart is one part of an archive.
type exportPart struct {
	ExportID string `db:"export_id"`
	Part     int    `db:"part"`
	Bytes    []byte `db:"bytes"`
}

// PutExport implements store.Exports.
func (t *tx) PutExport(ctx context.Context, e store.Export, part []byte) error {
	// The row comes first: an erasure that waits for it takes the part along.
	if err := t.update(ctx, "exports", "state = ?, parts = parts + 1, done_at = ?", "parts = ? AND id = ?", e.State, e.DoneAt, e.Parts, e.ID); err != nil {
		return err
	}
	return insert(ctx, t, "export_parts", "", exportPart{e.ID, e.Parts, part})
}

// ExtendExport implements store.Exports.
func (t *tx) ExtendExport(ctx context.Context, id string, until store.Time) error {
	return t.update(ctx, "exports", "expires = ?", "id = ?", until, id)
}

// ExportPart implements store.Exports.
func (t *tx) ExportPart(ctx context.Context, id string, part int) ([]byte, error) {
	p, err := one[exportPart](ctx, t, "export_parts", "AND export_id = ? AND part = ?", id, part)
	return p.Bytes, err
}

package sqlstore

import (
	"context"
	"reflect"

	"rootcue/internal/store"
)

// A backup is one gzip file of JSON lines, the same whichever database it comes
// from and goes to:
//
//	{"archive":"rootcue","format":2,"schema":10,"at":"2026-05-09T18:00:00.000000Z"}
//	{"club":{"id":"…","name":"…",…}}                        all that follows is this club's
//	{"table":"players","columns":["id","ref",…],"bodies":[]}  all that follows are its rows
//	["0197…","P-0733",…]
//	{"end":true,"rows":12345}                                without it the file is cut short
//
// A value is a string, a number, true, false or null. Columns under "bodies" are
// large texts, which each database compresses in its own way; that is said for
// programs before this one, which did not know it of the column. Of the queue, the
// jobs that have not ended come last, as rows of a table "jobs" (since format 2).
type archiveLine struct {
	Archive string          `json:"archive,omitempty"`
	Format  int             `json:"format,omitempty"`
	Schema  int64           `json:"schema,omitempty"`
	At      *store.Time     `json:"at,omitempty"`
	Club    *map[string]any `json:"club,omitempty"`
	Table   string          `json:"table,omitempty"`
	Columns []string        `json:"columns,omitempty"`
	Bodies  []string        `json:"bodies,omitempty"`
	End     bool            `json:"end,omitempty"`
	Rows    int64           `json:"rows,omitempty"`
}

const (
	archiveName   = "rootcue"
	archiveFormat = 2
)

// archived is a table with its row type left behind a function.
type archived struct {
	table string
	shape shape
	each  func(ctx context.Context, t *tx, do func([]any) error) error
}

func archive[T any](table string) archived {
	return archived{table, shapeOf(reflect.TypeFor[T]()), func(ctx context.Context, t *tx, do func([]any) error) error {
		return each(ctx, t, table, "", nil, func(row T) error { return do(fields(reflect.ValueOf(row))) })
	}}
}

const deliveriesTable = "deliveries"

// tables are all that a club has, in an order in which a row comes after those
// it refers to.
var tables = []archived{
	archive[store.Key]("keys"),
	archive[store.Session]("sessions"),
	archive[store.Change]("changes"),
	archive[store.Answer]("answers"),
	archive[store.Player]("players"),
	archive[store.Group]("player_groups"),
	archive[store.Membership]("group_members"),
	archive[store.Document]("documents"),
	archive[activeDocument]("active_documents"),
	archive[store.Tryout]("tryouts"),
	archive[store.Observation]("observations"),
	archive[store.Assessment]("assessments"),
	archive[verdict]("verdicts"),
	archive[freshRow]("fresh_verdicts"),
	archive[store.Review]("reviews"),
	archive[store.Cue]("cues"),
	archive[store.Link]("links"),
	archive[store.Throw]("throws"),
	archive[store.RosterEntry]("roster"),
	archive[store.Grade]("grades"),
	archive[store.Recusal]("recusals"),
	archive[store.Decision]("decisions"),
	archive[store.Webhook]("webhooks"),
	archive[store.FormerSecret]("former_secrets"),
	archive[store.Delivery](deliveriesTable),
	{"exports", shapeOf(reflect.TypeFor[store.Export]()), begunExports},
}

// begunExports are the exports that are not made yet, to be begun anew. Those
// that are made hold copies of what is in the backup anyway.
func begunExports(ctx context.Context, t *tx, do func([]any) error) error {
	return each(ctx, t, "exports", "AND done_at IS NULL", nil, func(e store.Export) error {
		e.State, e.Parts = nil, 0
		return do(fields(reflect.ValueOf(e)))
	})
}

package store

import "context"

// An ExportTable is a table that an export holds.
type ExportTable struct {
	Name     string
	OfPlayer bool // it has rows of single players; else it is the club's only
}

// ExportTables are all of them, in the order of an export. Sessions, kept
// answers and what only finds rows faster are not data of anybody.
var ExportTables = []ExportTable{
	{"players", true}, {"player_groups", false}, {"group_members", true},
	{"observations", true}, {"assessments", true}, {"reviews", true}, {"cues", true}, {"throws", true},
	{"tryouts", false}, {"roster", true}, {"grades", true}, {"recusals", true}, {"decisions", true},
	{"documents", false}, {"links", true}, {"keys", false}, {"webhooks", false}, {"deliveries", true}, {"changes", true},
}

// An Export is an archive that a job makes part by part.
type Export struct {
	ID        string  `db:"id" json:"id"`
	PlayerRef *string `db:"player_ref" json:"player,omitempty"` // nil: of the whole club
	Who       string  `db:"who" json:"who"`
	State     JSON    `db:"state" json:"-"` // how far it is, the club layer's own document
	Parts     int     `db:"parts" json:"-"` // how many there are
	At        Time    `db:"at" json:"at"`
	Expires   Time    `db:"expires" json:"expires"`
	DoneAt    *Time   `db:"done_at" json:"done_at,omitempty"`
}

// Exports are what was asked to be taken out, and the rows it is made from.
type Exports interface {
	// ExportRows reads on in one of ExportTables by its primary key: rows of the
	// club, or of one player. after is where the page before ended, "" at first;
	// next is "" at the end.
	ExportRows(ctx context.Context, table, player, after string, limit int) (rows []any, next string, err error)

	// AddExport begins an export.
	AddExport(ctx context.Context, e Export) (Export, error)

	// DropExports deletes those that have expired, with all their parts.
	DropExports(ctx context.Context) error

	// Export finds one that has not expired, else ErrNotFound.
	Export(ctx context.Context, id string) (Export, error)

	// PutExport adds one part and notes how far the export is. An export that is
	// gone is ErrNotFound; so is one whose Parts are not e.Parts any more, because
	// somebody else works on it.
	PutExport(ctx context.Context, e Export, part []byte) error

	// ExtendExport sets until when an export can be fetched, expired or not.
	ExtendExport(ctx context.Context, id string, until Time) error

	// ExportPart gives a part, counted from 0.
	ExportPart(ctx context.Context, id string, part int) ([]byte, error)
}

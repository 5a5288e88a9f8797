package store

import "context"

// The kinds of document a club keeps in versions.
const (
	KindRubric = "rubric"
	KindPolicy = "policy"
)

// A Document is one version of a rubric or a workload policy. It never changes;
// an edit is a new version.
type Document struct {
	Kind          string `db:"kind" json:"kind"` // KindRubric or KindPolicy
	Name          string `db:"name" json:"name"`
	Version       int    `db:"version" json:"version"` // from 1, without gaps
	Source        Body   `db:"source" json:"source"`   // the file, to the byte
	SHA256        string `db:"sha256" json:"sha256"`   // of Source, hex
	Who           string `db:"who" json:"who"`
	Why           string `db:"why" json:"why"`
	At            Time   `db:"at" json:"at"`
	EffectiveFrom string `db:"effective_from" json:"effective_from"` // date
}

// Documents are the versions and which of them is active.
type Documents interface {
	// Publish keeps d as the next version and makes it active. base is the
	// version the author built on, 0 for none; when it is not the newest, the
	// answer is ErrConflict. Version, SHA256 and At are filled in.
	Publish(ctx context.Context, d Document, base int) (Document, error)

	// Activate makes an older or newer version the active one.
	Activate(ctx context.Context, kind, name string, version int) error

	Document(ctx context.Context, kind, name string, version int) (Document, error)
	ActiveDocument(ctx context.Context, kind, name string) (Document, error)

	// ActiveVersion is the number of the active version, else ErrNotFound. It
	// reads no source: whoever keeps versions compiled asks for it often.
	ActiveVersion(ctx context.Context, kind, name string) (int, error)

	// ActiveDocuments lists the active version of every name, by name.
	ActiveDocuments(ctx context.Context, kind string) ([]Document, error)

	// Versions lists all versions of a name, newest first.
	Versions(ctx context.Context, kind, name string) ([]Document, error)
}

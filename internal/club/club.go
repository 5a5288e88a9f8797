// Package club holds the use cases: what a club does with observations,
// rubrics, assessments and players. Each is a short function that talks to the
// store and the engine; it knows neither HTTP nor SQL.
package club

import (
	"context"
	"encoding/json"
	"sync"

	"rootcue/internal/store"
)

// Clubs does the work of all clubs of one database. It is safe in all
// goroutines.
type Clubs struct {
	Store  store.Store
	Jobs   Jobs   // work that outlives a request; nil: such work is refused
	Sender Sender // sends to webhooks; nil: there are none

	compiled compiled
	policies sync.Map // parsed workload policies by version and by the SHA-256 of their source
}

// New builds the use cases on a store.
func New(s store.Store) *Clubs { return &Clubs{Store: s} }

// An Actor is who does something, known by a key.
type Actor struct {
	Club    string // id
	KeyID   string // goes into the change log; "system" for the program itself
	Limited bool   // role read: sees no pain entry, ledger note, stature or standing
	Health  bool   // role edit or admin: sees entries that tell of somebody's health
	Admin   bool   // role admin
}

// Jobs takes work that outlives a request. It goes in with the transaction
// that asks for it, so that there is never one without the other.
type Jobs interface {
	// Reassess judges every current observation of a rubric anew, by the given
	// version, in the name of the given key. It gives the job's id, that of the
	// one that waits or runs already for the same version if there is one.
	Reassess(ctx context.Context, tx store.Tx, rubric string, version int, who string) (string, error)

	// Deliver sends a kept delivery to its webhook, again and again if need be.
	Deliver(ctx context.Context, tx store.Tx, delivery string) error

	// Erase erases a player, who is named by the surrogate so that no job holds
	// a reference. It gives the job's id.
	Erase(ctx context.Context, tx store.Tx, player, who string) (string, error)

	// Export makes an export, and drops it when it has expired. It gives the id of
	// the job that makes it.
	Export(ctx context.Context, tx store.Tx, export string, expires store.Time) (string, error)

	// Job tells how far a club's job is, else store.ErrNotFound.
	Job(ctx context.Context, club, id string) (Job, error)

	// CancelJob stops a club's job; one that has ended stays as it is.
	CancelJob(ctx context.Context, club, id string) (Job, error)
}

// write runs fn in one writing transaction of the actor's club.
func (c *Clubs) write(ctx context.Context, a Actor, fn func(store.Tx) error) error {
	return c.Store.InTx(ctx, a.Club, fn)
}

// view runs fn on one picture of the actor's club.
func (c *Clubs) view(ctx context.Context, a Actor, fn func(store.Tx) error) error {
	return c.Store.View(ctx, a.Club, fn)
}

// logged appends one entry to the change log; it comes last in a transaction.
func logged(ctx context.Context, tx store.Tx, who, what, entity string, detail any) error {
	b, err := json.Marshal(detail)
	if err != nil {
		return err
	}
	return tx.AppendChanges(ctx, []store.Change{{Who: who, What: what, Entity: entity, Detail: b}})
}

package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"text/tabwriter"
	"time"

	"rootcue/internal/club"
	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
)

// keyCmd makes, lists and revokes keys.
type keyCmd struct {
	Add    keyAddCmd    `cmd:"" help:"Make a key; the first one makes the club."`
	List   keyListCmd   `cmd:"" help:"List a club's keys."`
	Revoke keyRevokeCmd `cmd:"" help:"Revoke a key."`
}

// keyAddCmd makes a key.
type keyAddCmd struct {
	Club    string `required:"" placeholder:"NAME" help:"The club; it is made by its first key."`
	Role    string `required:"" enum:"read,submit,edit,admin" help:"What the key may do: read, submit, edit or admin."`
	Expires string `placeholder:"DATE" help:"The last day on which it opens, UTC, such as 2027-03-31."`
	Label   string `placeholder:"TEXT" help:"What it is for."`
	databaseFlag
}

// Help is the example shown by --help.
func (keyAddCmd) Help() string {
	return "Example:\n  rootcue key add --club Harbour --role submit --expires 2027-03-31\nThe first line of the output is the key. It is shown this once: only its hash is kept."
}

// Run makes the key.
func (c *keyAddCmd) Run(s *streams) error {
	ctx := context.Background()
	db, err := c.openMigrated(ctx)
	if err != nil {
		return err
	}
	defer db.Close() // what was written is committed
	k, secret, err := club.New(db).AddFirstKey(ctx, c.Club, club.NewKey{Label: c.Label, Role: c.Role, Expires: c.Expires})
	var refusal *club.Refusal
	if errors.As(err, &refusal) {
		p := refusal.Slips[0]
		return badUsage("--%s: found %s, wanted %s", strings.TrimPrefix(p.Pointer, "/"), p.Found, p.Wanted)
	}
	if err != nil {
		return databaseFailure(err)
	}
	fmt.Fprintln(s.Out, secret)
	fmt.Fprintf(s.Err, "A key of role %s for the club %s, id %s. It is shown this once.\n", k.Role, c.Club, k.ID)
	return nil
}

// keyListCmd lists keys.
type keyListCmd struct {
	Club   string `required:"" placeholder:"NAME" help:"The club."`
	Format string `help:"How to answer: text or json." enum:"text,json" default:"text"`
	databaseFlag
}

// Run lists a club's keys.
func (c *keyListCmd) Run(s *streams) error {
	ctx := context.Background()
	db, who, err := c.of(ctx, c.Club)
	if err != nil {
		return err
	}
	defer db.Close() // nothing was written
	keys, err := club.New(db).Keys(ctx, who)
	if err != nil {
		return databaseFailure(err)
	}
	if c.Format == "json" {
		e := json.NewEncoder(s.Out)
		e.SetIndent("", "  ")
		return e.Encode(map[string]any{"items": keys})
	}
	w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "id\tbegins\trole\tlabel\texpires\tlast used\trevoked")
	for _, k := range keys {
		fmt.Fprintf(w, "%s\t%s…\t%s\t%s\t%s\t%s\t%s\n", k.ID, k.Prefix, k.Role, k.Label, opensTo(k.Expires), day(k.LastUsed), day(k.RevokedAt))
	}
	return w.Flush()
}

// day is the date of a time, "-" without one.
func day(t *store.Time) string {
	if t == nil {
		return "-"
	}
	return t.Date()
}

// keyRevokeCmd revokes a key.
type keyRevokeCmd struct {
	Key  string `arg:"" help:"The key's id, or how it begins, as key list shows them."`
	Club string `required:"" placeholder:"NAME" help:"The club."`
	databaseFlag
}

// Run revokes the key.
func (c *keyRevokeCmd) Run(s *streams) error {
	ctx := context.Background()
	db, who, err := c.of(ctx, c.Club)
	if err != nil {
		return err
	}
	defer db.Close() // what was written is committed
	clubs := club.New(db)
	keys, err := clubs.Keys(ctx, who)
	if err != nil {
		return databaseFailure(err)
	}
	var found []store.Key
	for _, k := range keys {
		if k.ID == c.Key || k.Prefix == strings.TrimSuffix(c.Key, "…") {
			found = append(found, k)
		}
	}
	if len(found) != 1 {
		return badUsage("found %d keys %q in the club %s, wanted one; see %s key list", len(found), c.Key, c.Club, programName)
	}
	if err := clubs.RevokeKey(ctx, who, found[0].ID); err != nil {
		return databaseFailure(err)
	}
	fmt.Fprintf(s.Out, "The key %s… of role %s opens nothing any more.\n", found[0].Prefix, found[0].Role)
	return nil
}

// of opens the database and finds a club in it, for the program itself.
func (f databaseFlag) of(ctx context.Context, name string) (*sqlstore.DB, club.Actor, error) {
	db, err := f.openCurrent(ctx)
	if err != nil {
		return nil, club.Actor{}, err
	}
	own, err := db.ClubByName(ctx, name)
	if errors.Is(err, store.ErrNotFound) {
		err = badUsage("--club: there is no club %q in %s", name, f.Database)
	} else if err != nil {
		err = databaseFailure(err)
	}
	if err != nil {
		return nil, club.Actor{}, errors.Join(err, db.Close())
	}
	return db, club.Actor{Club: own.ID, KeyID: "system", Admin: true}, nil
}

// opensTo is the last day before a time, "-" without one.
func opensTo(t *store.Time) string {
	if t == nil {
		return "-"
	}
	return store.At(t.Add(-time.Second)).Date()
}

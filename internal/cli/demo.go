package cli

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"rootcue/internal/club"
	"rootcue/internal/store"
	"rootcue/testdata/demo"
)

// demoClub is the invented club of a demonstration.
const demoClub = "Demonstration"

// A demonstration is a database that goes when the program ends, with a key of
// each role.
type demonstration struct {
	dir  string
	keys []string // by club.Roles
}

// newDemonstration makes the folder of the database.
func newDemonstration() (*demonstration, error) {
	dir, err := os.MkdirTemp("", "rootcue-demo-")
	if err != nil {
		return nil, cannotRun("--demo: %v", err)
	}
	return &demonstration{dir: dir}, nil
}

func (d *demonstration) database() databaseFlag {
	return databaseFlag{Database: filepath.Join(d.dir, "demo.db")}
}

func (d *demonstration) remove() error { return os.RemoveAll(d.dir) }

// fill makes the club, its keys and what its evaluators saw.
func (d *demonstration) fill(ctx context.Context, clubs *club.Clubs) error {
	var own store.Club
	for _, role := range club.Roles {
		_, secret, err := clubs.AddFirstKey(ctx, demoClub, club.NewKey{Label: "demonstration", Role: role})
		if err != nil {
			return err
		}
		d.keys = append(d.keys, secret)
	}
	own, err := clubs.Store.ClubByName(ctx, demoClub)
	if err != nil {
		return err
	}
	a := club.Actor{Club: own.ID, KeyID: "system"}
	files, err := fs.Glob(demo.Observations, "*.json")
	if err != nil {
		return err
	}
	for _, file := range files {
		b, err := demo.Observations.ReadFile(file)
		if err != nil {
			return err
		}
		src, _, err := club.JSON(b)
		if err != nil {
			return err
		}
		if _, err := clubs.Submit(ctx, a, src, func([]club.Line) error { return nil }); err != nil {
			return err
		}
	}
	players, err := clubs.Players(ctx, a, "", "", 100)
	if err != nil {
		return err
	}
	var observed []string
	for i, p := range players.Items {
		observed = append(observed, p.Ref)
		if i == 0 { // one is shown without
			continue
		}
		on := "2026-01-10"
		p.ConsentOn, p.ConsentScope = &on, "film, notes and reports"
		if _, _, err := clubs.PutPlayer(ctx, a, p, func(store.Player, bool) bool { return true }); err != nil {
			return err
		}
	}
	return addTryout(ctx, clubs, a, observed)
}

// print shows the keys, one a role.
func (d *demonstration) print(out io.Writer) {
	for i, role := range club.Roles {
		fmt.Fprintf(out, "  %-6s %s\n", role, d.keys[i])
	}
}

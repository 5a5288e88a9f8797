package cli

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"rootcue/engine/panel"
	"rootcue/internal/club"
	"rootcue/internal/store"
	"rootcue/testdata/tryouts"
)

// addTryout makes the demonstration's tryout, of invented players, and a group of
// those who were observed.
func addTryout(ctx context.Context, clubs *club.Clubs, a club.Actor, observed []string) error {
	grades, problems := panel.ReadCSV("spring.csv", tryouts.Spring)
	if len(problems) > 0 {
		return fmt.Errorf("the demonstration's grades: %v", problems)
	}
	t, err := clubs.AddTryout(ctx, a, club.TryoutSettings{
		Name: "Spring tryout", On: "2026-05-09", Panel: []string{"E1", "E2", "E3", "E4"}, Looks: 4, Best: 4,
		OwnItems: []club.OwnItem{
			{Item: "receiving", Title: "Receiving", Kind: "grade"},
			{Item: "throwing", Title: "Throwing", Kind: "grade"},
			{Item: "hand-protected", Title: "Bare hand out of the way", Kind: "yes-no"},
		}})
	if err != nil {
		return err
	}
	roster, seen := bytes.NewBufferString("bib,player\n"), map[string]bool{}
	for _, g := range grades {
		if !seen[g.Bib] {
			seen[g.Bib] = true
			fmt.Fprintf(roster, "%s,T-%s\n", g.Bib, strings.Repeat("0", max(0, 2-len(g.Bib)))+g.Bib)
		}
	}
	if _, err := clubs.AddRoster(ctx, a, t.ID, roster.Bytes(), true); err != nil {
		return err
	}
	if _, err := clubs.SubmitGrades(ctx, a, t.ID, tryouts.Spring, club.AsTable); err != nil {
		return err
	}
	_, _, err = clubs.PutGroup(ctx, a, "catchers", observed, func(store.Group, bool) bool { return true })
	return err
}

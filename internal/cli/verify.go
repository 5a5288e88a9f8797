package cli

import (
	"context"
	"fmt"

	"rootcue/internal/club"
)

// verifyCmd recomputes the chain of the change logs.
type verifyCmd struct{ databaseFlag }

// Help is the example shown by --help.
func (verifyCmd) Help() string {
	return "Example:\n  rootcue verify --database rootcue.db\nExit code 1 when an entry was changed, taken out or put in."
}

// Run verifies every club's log.
func (c *verifyCmd) Run(s *streams) error {
	ctx := context.Background()
	db, err := c.openCurrent(ctx)
	if err != nil {
		return err
	}
	defer db.Close() // nothing was written
	list, err := club.New(db).Verify(ctx)
	if err != nil {
		return databaseFailure(err)
	}
	broken := 0
	for _, v := range list {
		if v.Broken != nil {
			broken++
			fmt.Fprintf(s.Out, "%s: %v\n", v.Club, v.Broken)
			continue
		}
		fmt.Fprintf(s.Out, "%s: %d entries, the chain holds\n", v.Club, v.Entries)
	}
	if broken > 0 {
		return badInput("the change log of %d of %d clubs does not hold", broken, len(list))
	}
	return nil
}

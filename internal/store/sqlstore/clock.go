package sqlstore

import (
	"context"
	"fmt"
	"time"

	"rootcue/internal/store"
)

// clocksWithin is how far this machine's clock and the database's may be apart.
// Which jobs are taken for left behind goes by both, and leaves ten seconds
// between the longest that a job may run and the time after which another server
// takes it up.
const clocksWithin = 5 * time.Second

// CheckClock reports whether this machine's clock agrees with that of the
// PostgreSQL server (ErrClock). SQLite has no other clock.
func (d *DB) CheckClock(ctx context.Context) error {
	if d.dialect != postgres {
		return nil
	}
	var theirs time.Time
	before := d.Clock()
	if err := d.probe.GetContext(ctx, &theirs, "SELECT clock_timestamp()"); err != nil {
		return translate(ctx, err)
	}
	after := d.Clock() // an answer that took long says less, and nothing wrong
	switch {
	case before.Sub(theirs) > clocksWithin:
		return fmt.Errorf("%w: this machine's is %s ahead of the database's, at most %s is good; set both by the same time server", store.ErrClock, before.Sub(theirs).Round(time.Second), clocksWithin)
	case theirs.Sub(after) > clocksWithin:
		return fmt.Errorf("%w: this machine's is %s behind the database's, at most %s is good; set both by the same time server", store.ErrClock, theirs.Sub(after).Round(time.Second), clocksWithin)
	}
	return nil
}

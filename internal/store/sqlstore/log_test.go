package sqlstore_test

import (
	"strings"
	"testing"

	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
)

// Whoever may change the file may take the guards away; the chain shows it.
func TestChangedLogShows(t *testing.T) {
	both(t, func(t *testing.T, open func(testing.TB) *sqlstore.DB) {
		db := open(t)
		club := storetest.NewClub(t, db, "Alder")
		ok(t, db.InTx(ctx, club, func(tx store.Tx) error {
			for range 5 {
				err := tx.AppendChanges(ctx, []store.Change{{Who: "k1", What: "rubric.published", Entity: "rubric/blocking", Detail: store.JSON(`{"v":2}`)}})
				ok(t, err)
			}
			return nil
		}))
		guards := []string{"DROP TRIGGER changes_stay_update", "DROP TRIGGER changes_stay_delete"}
		if db.Postgres() {
			guards = []string{"DROP TRIGGER changes_stay ON changes"}
		}
		for _, c := range []struct{ statement, at string }{
			{"UPDATE changes SET who = 'k2' WHERE seq = 3", "entry 3"},
			{"UPDATE changes SET what = 'x' WHERE seq = 1", "entry 1"},
			{"UPDATE changes SET entity = '' WHERE seq = 5", "entry 5"},
			{"UPDATE changes SET detail = '{}' WHERE seq = 2", "entry 2"},
			{"UPDATE changes SET at = '2020-01-01T00:00:00.000000Z' WHERE seq = 2", "entry 2"},
			{"UPDATE changes SET prev_hash = hash WHERE seq = 4", "entry 4"},
			{"UPDATE changes SET hash = prev_hash WHERE seq = 4", "entry 4"},
			{"DELETE FROM changes WHERE seq = 3", "entry 3"},
			{"DELETE FROM changes WHERE seq = 1", "entry 1"},
			{"DELETE FROM changes WHERE seq > 3", "ends with entry 3"}, // cut off at the end
			{"DELETE FROM changes", "ends with entry 0"},
		} {
			t.Run(c.statement, func(t *testing.T) {
				err := db.InTx(ctx, club, func(tx store.Tx) error {
					for _, statement := range append(guards, c.statement) {
						_, err := tx.SQL().Exec(statement)
						ok(t, err)
					}
					_, err := tx.VerifyChanges(ctx)
					return err // and with it all is undone
				})
				want(t, err, store.ErrBrokenLog)
				if !strings.Contains(err.Error(), c.at) {
					t.Errorf("found %q, want the place: %q", err, c.at)
				}
			})
		}
	})
}

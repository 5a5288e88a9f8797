package sqlstore

import "rootcue/internal/store"

// where gathers the conditions of a list.
type where struct {
	sql  string
	args []any
}

func (w *where) and(condition string, args ...any) {
	w.sql += "AND " + condition + " "
	w.args = append(w.args, args...)
}

// text adds a condition unless the value is empty.
func (w *where) text(condition, value string) {
	if value != "" {
		w.and(condition, value)
	}
}

// dates bounds a list that goes on after a cursor. The upper bound is left out
// where the cursor bounds the list already: with both, SQLite would seek to the
// bound and walk from there to the cursor.
func (w *where) dates(on, from, to string, after store.Cursor) {
	w.text(on+" >= ?", from)
	if after.On == "" || after.On > to {
		w.text(on+" <= ?", to)
	}
}

// page orders newest first and goes on after the cursor. The row comparison
// lets an index seek to the place, so that depth costs nothing.
func (w *where) page(on, id string, p store.Page) {
	if p.After != (store.Cursor{}) {
		w.and("("+on+", "+id+") < (?, ?)", p.After.On, p.After.ID)
	}
	w.sql += "ORDER BY " + on + " DESC, " + id + " DESC LIMIT ?"
	w.args = append(w.args, bounded(p.Limit))
}

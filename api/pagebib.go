package api

import (
	"slices"
	"strconv"

	"rootcue/engine/panel"
	"rootcue/internal/report/pages"
	"rootcue/internal/report/rounding"
	"rootcue/internal/store"
)

// bib shows what stands behind one bib's place: every grade, and what the club
// decided.
func (v *visit) bib() error {
	id, bib := v.Param("id"), v.Param("bib")
	e, err := v.s.Clubs.Event(v.Request.Context(), v.actor(), id)
	if err != nil {
		return err
	}
	board, standing, err := v.boardOf(e)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(board.Roster, func(w pages.Worn) bool { return w.Bib == bib })
	if i < 0 {
		return NotFound.At(Slip{Code: "unknown-bib", Parameter: "path.bib", Found: strconv.Quote(bib), Wanted: "a bib of the roster"})
	}
	d := pages.Bib{Tryout: pages.Titled{Name: id, Title: board.Name}, Bib: bib, Closed: board.Closed, Withdrawn: board.Roster[i].Withdrawn, Best: board.Best, Panel: board.Panel}
	d.Find(&board)
	d.Items = bibItems(board.Items, e.Grades, bib, standing.Standing)
	return v.write("bib", bib, "bib.js", d)
}

// bibItems are the items with every grade of a bib and what it comes to.
func bibItems(items []pages.Graded, grades []store.Grade, bib string, standing []panel.Standing) (list []pages.BibItem) {
	for _, item := range items {
		one := pages.BibItem{Title: item.Title, Unit: item.Unit}
		for _, g := range grades {
			if g.Bib == bib && g.Item == item.Name {
				one.Looks = append(one.Looks, pages.Looked{Evaluator: g.Evaluator, Look: g.Look, Grade: g.Grade})
			}
		}
		for _, s := range standing {
			if m, ok := s.Items[item.Name]; ok && s.Bib == bib {
				one.Raw, one.Adjusted = rounding.Value(float64(m.Raw), float64(m.U)), rounding.WithSpread(float64(m.Adjusted), float64(m.U))
			}
		}
		list = append(list, one)
	}
	return list
}

package api

import (
	"slices"

	"rootcue/internal/report/pages"
)

// newTryout asks for what a tryout needs.
func (v *visit) newTryout() error {
	list, err := v.s.Clubs.Rubrics(v.Request.Context(), v.actor())
	if err != nil {
		return err
	}
	var d pages.NewTryout
	if d.Today, err = v.today(); err != nil {
		return err
	}
	for _, r := range list {
		d.Rubrics = append(d.Rubrics, titled(r))
		for _, b := range r.Rubric.Bands {
			if !slices.Contains(d.Bands, b.Name) {
				d.Bands = append(d.Bands, b.Name)
			}
		}
	}
	return v.write("new-tryout", "", "newtryout.js", d)
}

package api

import (
	"rootcue/internal/club"
	"rootcue/internal/report/pages"
)

func (s *Server) limitPages() {
	s.page("GET", "/rubrics", Read, (*visit).rubrics)
	s.page("GET", "/rubrics/:name/edit", Edit, (*visit).limits)
}

// rubrics lists the rubrics of the club.
func (v *visit) rubrics() error {
	list, err := v.s.Clubs.Rubrics(v.Request.Context(), v.actor())
	if err != nil {
		return err
	}
	d := pages.Rubrics{May: v.role >= Edit}
	for _, r := range list {
		d.List = append(d.List, pages.RubricLine{Titled: titled(r), Version: r.Version, Faults: len(r.Rubric.Faults)})
	}
	return v.write("rubrics", "", "", d)
}

// limits shows the limits of a rubric to whoever may edit them.
func (v *visit) limits() error {
	ctx, name := v.Request.Context(), v.Param("name")
	active, err := v.s.Clubs.Rubric(ctx, v.actor(), name, 0)
	if err != nil {
		return err
	}
	history, err := v.s.Clubs.History(ctx, v.actor(), name)
	if err != nil {
		return err
	}
	d := pages.NewLimits(active.Rubric, active.Source)
	d.ETag, d.Version = versionTag(active.Version, active.Rubric.SHA256, ""), active.Version
	for _, r := range history.Versions {
		if r.Why == club.Shipped {
			r.Why = pages.Say(v.lang, "limits.shipped")
		}
		if r.Who == "system" {
			r.Who = pages.Say(v.lang, "limits.system")
		}
		d.Versions = append(d.Versions, pages.Version{Number: r.Version, Active: r.Version == history.Active, At: r.At.Format("2006-01-02 15:04 UTC"), Who: r.Who, Why: r.Why, From: r.EffectiveFrom})
	}
	return v.write("limits", active.Rubric.Title, "limits.js", d)
}

package api

import (
	"rootcue/engine/rubric"
	"rootcue/internal/club"
	"rootcue/internal/report/pages"
)

func (s *Server) entryPages() {
	s.page("GET", "/entry", Submit, (*visit).entry)
	s.page("GET", "/entry-worker.js", Open, (*visit).entryWorker)
}

// entry shows the items of a rubric, or of a tryout, to an evaluator.
func (v *visit) entry() error {
	var d pages.Entry
	tryouts, err := v.s.Clubs.Tryouts(v.Request.Context(), v.actor())
	if err != nil {
		return err
	}
	for _, t := range tryouts {
		if t.ClosedAt == nil {
			d.Tryouts = append(d.Tryouts, pages.Titled{Name: t.ID, Title: t.Settings.Name + ", " + t.Settings.On})
		}
	}
	about := ""
	if id := v.Query("tryout"); id != "" {
		about, err = v.enterTryout(&d, id)
	} else {
		about, err = v.enterRubric(&d)
	}
	if err != nil {
		return err
	}
	return v.write("entry", about, "entry.js", d)
}

// enterRubric fills in the items of a session's rubric, if one is chosen.
func (v *visit) enterRubric(d *pages.Entry) (about string, err error) {
	ctx := v.Request.Context()
	list, err := v.s.Clubs.Rubrics(ctx, v.actor())
	if err != nil {
		return "", err
	}
	for _, r := range list {
		d.Rubrics = append(d.Rubrics, titled(r))
	}
	name := v.Query("rubric")
	if name == "" {
		return "", nil
	}
	r, err := v.s.Clubs.Rubric(ctx, v.actor(), name, 0)
	if err != nil {
		return "", err
	}
	d.Show(r.Rubric, r.Version)
	return r.Rubric.Title, nil
}

// enterTryout fills in the panel, the bibs and the items of an open tryout, a
// rubric at a time; items of no rubric stand with the first.
func (v *visit) enterTryout(d *pages.Entry, id string) (about string, err error) {
	ctx := v.Request.Context()
	t, err := v.s.Clubs.Tryout(ctx, v.actor(), id)
	if err != nil {
		return "", err
	}
	if t.ClosedAt != nil {
		return "", &club.Closed{At: *t.ClosedAt}
	}
	roster, err := v.s.Clubs.Roster(ctx, v.actor(), id, "")
	if err != nil {
		return "", err
	}
	d.Tryout, d.Panel = id, t.Settings.Panel
	for _, e := range roster {
		if e.WithdrawnAt == nil {
			d.Bibs = append(d.Bibs, e.Bib)
		}
	}
	chosen := 0
	for i, name := range t.Settings.Rubrics {
		r, err := v.s.Clubs.Rubric(ctx, v.actor(), name, 0)
		if err != nil {
			return "", err
		}
		d.Rubrics = append(d.Rubrics, titled(r))
		if name == v.Query("rubric") {
			chosen = i
		}
	}
	if len(t.Settings.Rubrics) > 0 {
		r, err := v.s.Clubs.Rubric(ctx, v.actor(), t.Settings.Rubrics[chosen], 0)
		if err != nil {
			return "", err
		}
		d.Show(r.Rubric, r.Version)
	}
	d.Only(itemsOf(t, chosen == 0))
	return t.Settings.Name, nil
}

// itemsOf are the names of a tryout's items and, if wanted, those of no rubric.
func itemsOf(t club.Tryout, own bool) (names []string, items []pages.Item) {
	for _, i := range t.Items {
		names = append(names, i.Item)
		if i.Rubric == "" && own {
			scale := [2]float64{}
			if i.Range != nil {
				scale = *i.Range
			}
			items = append(items, pages.NewItem(i.Item, i.Title, rubric.Kind(i.Kind), scale))
		}
	}
	return names, items
}

func titled(r *club.Version) pages.Titled { return pages.Titled{Name: r.Name, Title: r.Rubric.Title} }

// entryWorker is the script that lets the evaluator's page open without a net.
// It stands at the root because a worker serves only what lies below it.
func (v *visit) entryWorker() error {
	b, err := static.ReadFile("static/entry-worker.js")
	v.Header("Content-Type", staticTypes[".js"])
	_, _ = v.Writer.Write(b) // held back: it cannot fail
	return err
}

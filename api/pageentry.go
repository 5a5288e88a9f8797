package api

import (
	"rootcue/internal/club"
	"rootcue/internal/report/pages"
)

func (s *Server) entryPages() {
	s.page("GET", "/entry", Submit, (*visit).entry)
	s.page("GET", "/entry-worker.js", Open, (*visit).entryWorker)
}

// entry shows the items of a rubric to an evaluator.
func (v *visit) entry() error {
	ctx := v.Request.Context()
	list, err := v.s.Clubs.Rubrics(ctx, v.actor())
	if err != nil {
		return err
	}
	var d pages.Entry
	for _, r := range list {
		d.Rubrics = append(d.Rubrics, titled(r))
	}
	about := ""
	if name := v.Query("rubric"); name != "" {
		r, err := v.s.Clubs.Rubric(ctx, v.actor(), name, 0)
		if err != nil {
			return err
		}
		d.Show(r.Rubric, r.Version)
		about = r.Rubric.Title
	}
	return v.write("entry", about, "entry.js", d)
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

package api

import (
	"bytes"
	"encoding/json"

	"rootcue/internal/report/pages"
)

// front shows what is here.
func (v *visit) front() error {
	ctx := v.Request.Context()
	names, err := v.s.Rubrics.Names(ctx)
	if err != nil {
		return err
	}
	var d pages.Front
	for _, name := range names {
		p, err := v.s.Rubrics.Rubric(ctx, name)
		if err != nil {
			return err
		}
		d.Rubrics = append(d.Rubrics, pages.Titled{Name: name, Title: p.Rubric.Title})
	}
	var pretty bytes.Buffer
	if err := json.Indent(&pretty, []byte(DemoObservation), "", "  "); err != nil {
		return err
	}
	d.Observation = pretty.String()
	return v.write("front", "", "front.js", d)
}

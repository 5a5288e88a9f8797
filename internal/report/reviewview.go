package report

import "html/template"

// reviewShown is the instructor's word.
type reviewShown struct {
	Note  string
	Lines []template.HTML
}

func (v *view) review() *reviewShown {
	if v.in.Review == nil || v.in.Review.Note == "" && len(v.in.Review.SetAside) == 0 {
		return nil
	}
	r := &reviewShown{Note: v.in.Review.Note}
	for _, s := range v.in.Review.SetAside {
		r.Lines = append(r.Lines, v.html("review.set-aside", "title", foreign(v.title(s.Fault)), "reason", s.Reason))
	}
	return r
}

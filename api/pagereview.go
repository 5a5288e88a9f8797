package api

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"rootcue/engine/rubric"
	"rootcue/internal/club"
	"rootcue/internal/report"
	"rootcue/internal/report/pages"
	"rootcue/internal/report/rounding"
	"rootcue/internal/store"
)

func (s *Server) reviewPages() {
	s.page("GET", "/review", Edit, (*visit).review)
	s.page("GET", "/review/reports", Edit, (*visit).reports)
}

// mostReviewed is how many assessments one page shows.
const mostReviewed = 60

// review shows the assessments of a day to an instructor.
func (v *visit) review() error {
	ctx := v.Request.Context()
	day, list, err := v.assessmentsOfDay()
	if err != nil {
		return err
	}
	d := pages.Review{Day: day, More: list.Next != ""}
	if d.Assessments, err = v.assessed(ctx, list.Items); err != nil {
		return err
	}
	if len(d.Assessments) == 0 {
		if d.Days, err = v.recentDays(ctx); err != nil {
			return err
		}
	}
	return v.write("review", day, "review.js", d)
}

// mostDays is how many other days a day without assessments leads to.
const mostDays = 10

// recentDays are the last days with an assessment, newest first.
func (v *visit) recentDays(ctx context.Context) (days []string, err error) {
	var until store.AssessmentFilter
	for len(days) < mostDays {
		list, err := v.s.Clubs.Assessments(ctx, v.actor(), until, "", 1)
		if err != nil || len(list.Items) == 0 {
			return days, err
		}
		var a struct{ On string }
		if err := json.Unmarshal(list.Items[0], &a); err != nil {
			return nil, err
		}
		on, err := time.Parse(time.DateOnly, a.On)
		if err != nil {
			return nil, err
		}
		days, until.To = append(days, a.On), on.AddDate(0, 0, -1).Format(time.DateOnly)
	}
	return days, nil
}

func (v *visit) assessmentsOfDay() (day string, list club.List[[]byte], err error) {
	if day, err = v.day("on"); err != nil {
		return day, list, err
	}
	list, err = v.s.Clubs.Assessments(v.Request.Context(), v.actor(), store.AssessmentFilter{From: day, To: day}, "", mostReviewed)
	return day, list, err
}

// shownAssessment is what the page needs of an assessment document.
type shownAssessment struct {
	ID     string
	Rubric struct {
		Name    string
		Version int
	}
	Player   struct{ Ref, Band string }
	Reps     int
	Cautions []struct{ Level, Says string }
	Findings []shownFinding
	WorkOn   []shownWork `json:"work_on"`
	Keep     []struct{ Says string }
}

type shownFinding struct {
	Fault, Title, Verdict string
	Chance                *float64
	InReps                *string `json:"in_reps"`
	Why                   struct {
		Rule  string
		Reads map[string]struct {
			Value, U *float64
			Unit     string
		}
	}
}

type shownWork struct {
	Fault, Cue     string
	Drills         []struct{ Drill string }
	ExchangeAfterS *float64 `json:"exchange_after_s"`
}

// assessed puts assessments and the instructor's word on each together.
func (v *visit) assessed(ctx context.Context, bodies [][]byte) ([]pages.Assessed, error) {
	all, players := make([]shownAssessment, len(bodies)), map[string]string{}
	for i, body := range bodies {
		if err := json.Unmarshal(body, &all[i]); err != nil {
			return nil, err
		}
		players[all[i].ID] = all[i].Player.Ref
	}
	words, err := v.s.Clubs.Words(ctx, v.actor(), players)
	if err != nil {
		return nil, err
	}
	out := make([]pages.Assessed, 0, len(all))
	for _, a := range all {
		word, known := words[a.ID]
		if !known { // erased meanwhile
			continue
		}
		version, err := v.s.Clubs.Rubric(ctx, v.actor(), a.Rubric.Name, a.Rubric.Version)
		if err != nil {
			return nil, err
		}
		out = append(out, v.together(a, word, version.Rubric))
	}
	return out, nil
}

func (v *visit) together(a shownAssessment, r club.Word, in *rubric.Rubric) pages.Assessed {
	out := pages.Assessed{ID: a.ID, Ref: a.Player.Ref, Skill: in.Title, Rubric: a.Rubric.Name, Band: a.Player.Band, Reps: a.Reps, Revision: r.Revision, Released: r.Released, Note: r.Review.Note, Unconsented: r.ConsentOn == nil}
	for _, c := range a.Cautions {
		out.Cautions = append(out.Cautions, pages.Caution{Level: c.Level, Says: c.Says})
	}
	for _, k := range a.Keep {
		out.Keep = append(out.Keep, k.Says)
	}
	for _, d := range in.Drills {
		out.Drills = append(out.Drills, pages.Titled{Name: d.Name, Title: d.Title})
	}
	for _, f := range a.Findings {
		handedOut := slices.ContainsFunc(a.WorkOn, func(w shownWork) bool { return w.Fault == f.Fault })
		if !handedOut && (f.Verdict == "fault" || f.Verdict == "close") {
			out.Other = append(out.Other, v.shownIn(f, r.Review, in))
		}
	}
	for _, w := range a.WorkOn {
		i := slices.IndexFunc(a.Findings, func(f shownFinding) bool { return f.Fault == w.Fault })
		out.Work = append(out.Work, correction(w, v.shownIn(a.Findings[i], r.Review, in), r.Review))
	}
	return out
}

func (v *visit) shownIn(f shownFinding, r club.Review, in *rubric.Rubric) pages.Finding {
	out := pages.Finding{Fault: f.Fault, Title: f.Title, Close: f.Verdict == "close", Rule: report.RuleInWords(f.Why.Rule, in.TitleOf)}
	if f.Chance != nil {
		out.Sure = pages.PerCent(*f.Chance)
	}
	if f.InReps != nil {
		out.InReps = *f.InReps
	}
	own, _, _ := strings.Cut(f.Why.Rule, " ") // a rule on a measure begins with it
	if read := f.Why.Reads[own]; read.Value != nil && read.U != nil {
		out.Read = rounding.WithSpread(*read.Value, *read.U)
		if read.Unit != "1" && read.Unit != "" {
			out.Read += " " + pages.Say(v.lang, "unit."+read.Unit)
		}
	}
	for _, s := range r.SetAside {
		if s.Fault == f.Fault {
			out.Aside, out.Reason = true, s.Reason
		}
	}
	return out
}

func correction(w shownWork, f pages.Finding, r club.Review) pages.Correction {
	c := pages.Correction{Finding: f, Cue: w.Cue}
	for _, d := range w.Drills {
		c.Drills = append(c.Drills, d.Drill)
	}
	if w.ExchangeAfterS != nil {
		c.Seconds = fmt.Sprintf("%.2f", *w.ExchangeAfterS)
	}
	for _, s := range r.Dropped {
		if s.Fault == w.Fault {
			c.Dropped, c.Reason = true, s.Reason
		}
	}
	for _, s := range r.Cues {
		if s.Fault == w.Fault {
			c.Own = s.Cue
			if len(s.Drills) > 0 {
				c.Chosen = s.Drills[0]
			}
		}
	}
	return c
}

// reports shows the reports of a day on one page, to print them all.
func (v *visit) reports() error {
	day, list, err := v.assessmentsOfDay()
	if err != nil {
		return err
	}
	var all []report.Input
	for _, body := range list.Items {
		var a struct{ ID string }
		if err := json.Unmarshal(body, &a); err != nil {
			return err
		}
		r, err := v.s.Clubs.Report(v.Request.Context(), v.actor(), a.ID)
		if err != nil {
			return err
		}
		all = append(all, reportInput(r, v.lang, false))
	}
	var out bytes.Buffer
	if err := report.Bundle(&out, v.lang, pages.Say(v.lang, "page.reports")+": "+day, "/static/sheets.css", "/static/pages.svg", all); err != nil {
		return err
	}
	v.Header("Content-Type", htmlType)
	v.Header("Content-Language", v.lang)
	v.Header("Content-Security-Policy", report.BundlePolicy)
	v.Header("Cache-Control", "private, no-store")
	_, _ = v.Writer.Write(out.Bytes()) // held back: it cannot fail
	return nil
}

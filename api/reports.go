package api

import (
	"bytes"
	"cmp"
	"context"
	"strings"

	"rootcue/internal/club"
	"rootcue/internal/report"
)

func (s *Server) reportRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/assessments/{id}/report", ID: "read-report", Tag: "Review", Summary: "The printable report", Role: Read, Also: []Kind{Unavailable},
		Description: "One HTML page that needs no other: good things first, what to work on, what changed, cautions. The cautions are those of today, whenever the assessment was made. A report that no instructor has released says that it is a draft.",
		Answer:      Text("text/html"),
	}, s.readReport)
}

// ReportQuery says how a report shall be written.
type ReportQuery struct {
	Lang   string `query:"lang" pattern:"^[a-z]{2}$" doc:"The language of the page; without it the one that the reader's browser asks for (Accept-Language)" example:"en"`
	Chosen string `cookie:"rootcue_lang" hidden:"true"`
	Accept string `header:"Accept-Language" hidden:"true"`
}

// language is the one asked for, else the reader's.
func (q ReportQuery) language() string { return cmp.Or(q.Lang, languageOf(q.Chosen, q.Accept)) }

// A ReportPage is a page that is kept nowhere on its way: its cautions are
// those of the moment.
type ReportPage struct {
	ContentType string   `header:"Content-Type" hidden:"true"`
	Policy      string   `header:"Content-Security-Policy" hidden:"true"`
	Cache       string   `header:"Cache-Control" hidden:"true"`
	Robots      string   `header:"X-Robots-Tag" hidden:"true"`
	Lang        string   `header:"Content-Language" hidden:"true"`
	Vary        []string `header:"Vary" hidden:"true"`
	Body        []byte
}

func (s *Server) readReport(ctx context.Context, in *struct {
	ByID
	ReportQuery
}) (*ReportPage, error) {
	r, err := s.Clubs.Report(ctx, actor(ctx), in.ID)
	if err != nil {
		return nil, err
	}
	return reportPage(r, in.language(), false)
}

// reportPage writes a report. Only the club's own origins may embed it.
func reportPage(r club.Report, lang string, family bool) (*ReportPage, error) {
	in := reportInput(r, lang, family)
	in.Switch = true
	var out bytes.Buffer
	if err := report.Write(&out, in); err != nil {
		return nil, NotValid.At(Slip{Code: "unknown-language", Parameter: "query.lang", Found: lang, Wanted: strings.Join(report.Languages(), " or ")}).Because(err)
	}
	embed := "'none'"
	if len(r.Embed) > 0 {
		embed = strings.Join(r.Embed, " ")
	}
	return &ReportPage{htmlType, report.ContentSecurityPolicy + "; frame-ancestors " + embed, "private, no-store", "noindex, nofollow", lang, []string{variesBy}, out.Bytes()}, nil
}

// reportInput is what a report page is written from.
func reportInput(r club.Report, lang string, family bool) report.Input {
	return report.Input{Assessment: r.Assessment, Rubric: r.Rubric, Review: reviewOf(r), Since: sinceOf(r), Lang: lang, Club: report.Club{Name: r.Club}, ForFamily: family}
}

// reviewOf is the instructor's word as a report knows it; a correction that is
// not handed out is set aside there, with its reason.
func reviewOf(r club.Report) *report.Review {
	if r.Review == nil {
		return nil
	}
	out := &report.Review{Note: r.Review.Note, Released: r.Released}
	for _, list := range [][]club.SetAside{r.Review.SetAside, r.Review.Dropped} {
		for _, s := range list {
			out.SetAside = append(out.SetAside, report.SetAside{Fault: s.Fault, Reason: s.Reason})
		}
	}
	for _, c := range r.Review.Cues {
		if c.Cue != "" {
			out.Cues = append(out.Cues, report.SwappedCue{Fault: c.Fault, Cue: c.Cue})
		}
	}
	return out
}

// sinceOf is what changed, in the player's own past.
func sinceOf(r club.Report) *report.Since {
	if len(r.Since) == 0 {
		return nil
	}
	out := &report.Since{BandChanged: r.BandChanged}
	for _, m := range r.Since {
		last := m.Steps[len(m.Steps)-1]
		row := report.Row{Measure: m.Measure, Unit: m.Unit, Least: float64(last.Least), Word: last.Word}
		for _, p := range m.Sessions {
			row.Points = append(row.Points, report.Point{On: p.On, Value: float64(p.Value), U: float64(p.U)})
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

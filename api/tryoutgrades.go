package api

import (
	"bytes"
	"context"

	"github.com/danielgtaylor/huma/v2"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

func (s *Server) gradeRoutes() {
	Add(s, Route{
		Method: "POST", Path: "/v1/tryouts/{id}/grades", ID: "submit-grades", Tag: tryoutTag, Summary: "Submit grades", Role: Submit, Replayable: true, Also: []Kind{Unavailable},
		Description: "A list under `grades` as JSON, one grade a line as NDJSON, or a table as CSV with the columns `bib`, `evaluator`, `item`, `grade` and, where an evaluator looked twice, `look`. In whatever order and however late they come, the standing is the same.\n\n" +
			"`same`: known already, or nothing was seen (null, or an empty cell). `corrected`: another grade of the same look stood there; it is replaced. Refused, each by its line while the others are kept: a bib that is not on the roster or is withdrawn, an evaluator who is not on the panel or is recused from the player, an item that is not of the tryout, a value that the item does not take. A tryout that was closed keeps nothing and says when that was.\n\n" +
			"Grades of quantities are in the unit that the tryout names. Send whatever was interrupted once more.",
		Body:    &Form{gradesSchema, []string{jsonType, ndjsonType, csvType}},
		Answer:  &Form{typed[GradeAnswers], []string{jsonType, ndjsonType}},
		MaxBody: maxBatch,
	}, s.submitGrades)
	Add(s, Route{
		Method: "GET", Path: "/v1/tryouts/{id}/grades", ID: "list-grades", Tag: tryoutTag, Summary: "Read grades as they are kept", Role: Edit, Also: []Kind{Unavailable},
		Description: "All of them, by bib, evaluator, item and look; or as CSV by `Accept`, as `rootcue tryout` reads it. What does not count stands in `left_out` of the standing.",
		Answer:      &Form{typed[Page[GradeItem]], []string{jsonType, csvType}},
	}, s.listGrades)
}

func gradesSchema(r schemas) *huma.Schema {
	return object("Grades", need{"grades", list("One a look and item", gradeSchema(r))})
}

func gradeSchema(r schemas) *huma.Schema {
	return named(r, "Grade", func() *huma.Schema {
		return object("What one evaluator gave one player for one item",
			need{"bib", either("The number on the player's back", text("As text"), atLeast(0, whole("As a whole number")))},
			need{"evaluator", text("Of the panel")}, need{"item", text("Of the tryout")},
			may{"grade", either("The grade; null or nothing: not seen", number("As a number"), yesNo("Yes or no"), text("As a text, also yes or no"))},
			may{"look", atLeast(1, whole("Which look of this evaluator at this player; 1 when left out"))})
	})
}

// GradeAnswers answer a submission in JSON.
type GradeAnswers struct {
	Lines []GradeAnswer `json:"lines" doc:"One a grade, in order"`
	Done  club.Done     `json:"done" doc:"How many of each status"`
}

// A GradeAnswer is what became of one line.
type GradeAnswer struct {
	Line    int      `json:"line" doc:"From 1; of a table, with the header as line 1"`
	Status  string   `json:"status" enum:"stored,same,corrected,refused" doc:"What became of it"`
	Problem *Problem `json:"problem,omitempty" doc:"Why it was refused"`
}

func (s *Server) submitGrades(ctx context.Context, in *struct {
	ByID
	ContentType string `header:"Content-Type" hidden:"true"`
	RawBody     []byte
}) (*Written, error) {
	form := map[string]club.Form{ndjsonType: club.AsNDJSON, csvType: club.AsTable}[baseType(in.ContentType)]
	lines, err := s.Clubs.SubmitGrades(ctx, actor(ctx), in.ID, in.RawBody, form)
	if err != nil {
		return nil, err
	}
	out, tale := GradeAnswers{Lines: make([]GradeAnswer, len(lines))}, tale{}
	for i, l := range lines {
		out.Lines[i] = GradeAnswer{l.Line, l.Status, tale.of(l.Slips)}
		out.Done.Count(l.Status)
	}
	return out.written(form)
}

// written is NDJSON for NDJSON and CSV.
func (a *GradeAnswers) written(form club.Form) (*Written, error) {
	var b bytes.Buffer
	if form == club.AsJSON {
		err := writeJSON(&b, a)
		return &Written{ContentType: jsonType, Body: b.Bytes()}, err
	}
	for _, l := range a.Lines {
		if err := writeJSON(&b, l); err != nil {
			return nil, err
		}
		b.WriteByte('\n')
	}
	err := writeJSON(&b, map[string]club.Done{"done": a.Done})
	b.WriteByte('\n')
	return &Written{ContentType: ndjsonType, Body: b.Bytes()}, err
}

// A GradeItem is a grade as it is kept.
type GradeItem struct {
	Bib       string     `json:"bib" doc:"The number on the player's back"`
	Evaluator string     `json:"evaluator" doc:"Who gave it"`
	Item      string     `json:"item" doc:"For what"`
	Look      int        `json:"look" doc:"At which look, from 1"`
	Grade     string     `json:"grade" doc:"A number, yes or no"`
	Who       string     `json:"who" doc:"The id of the key it came with"`
	At        store.Time `json:"at" doc:"When it came in"`
}

func (s *Server) listGrades(ctx context.Context, in *struct {
	ByID
	Accept string `header:"Accept" hidden:"true"`
}) (*Written, error) {
	grades, err := s.Clubs.Grades(ctx, actor(ctx), in.ID)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if Prefer(in.Accept, []string{jsonType, csvType}) == csvType {
		err := club.WriteGrades(&b, grades)
		return &Written{ContentType: csvType + "; charset=utf-8", Body: b.Bytes()}, err
	}
	items := make([]GradeItem, len(grades))
	for i, g := range grades {
		items[i] = GradeItem{g.Bib, g.Evaluator, g.Item, g.Look, g.Grade, g.Who, g.At}
	}
	err = writeJSON(&b, Page[GradeItem]{Items: items})
	return &Written{ContentType: jsonType, Body: b.Bytes()}, err
}

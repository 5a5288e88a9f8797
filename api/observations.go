package api

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"
	"github.com/gin-gonic/gin"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

// What POST /v1/observations reads at most.
const (
	maxBatch  = 16 << 20 // one JSON document or a list
	maxImport = 1 << 30  // NDJSON and CSV, which are not held in memory
)

func (s *Server) observationRoutes() {
	Add(s, Route{
		Method: "POST", Path: "/v1/observations", ID: "submit-observations", Tag: "Observations", Summary: "Submit observations", Role: Submit, Replayable: true, Also: []Kind{Unavailable},
		Description: "One document or a list of them as JSON, one a line as NDJSON, or a table as CSV (see template.csv of a rubric; `rubric` names the rubric of rows that name none). Good ones are stored with their assessment, bad ones are refused by their line with what was wanted; a single bad JSON document is answered with a problem. " +
			"NDJSON and CSV are answered line by line while they are read, each when it is safely stored.\n\n" +
			"`same`: known already, nothing changed. `corrected`: it replaces what was stored, which is kept as history. Documents of one player, rubric, date, session and rater belong together: within a session new rep numbers join the observation, which is then judged as a whole, and known ones are corrected, also back to what they were; without a session, a document with the same rep numbers corrects the stored one, any other is an observation of its own, and one that was replaced since is a late copy, answered `same`. " +
			"In a table, rows that follow each other and are of one player, date, session and rater are one observation, a row a rep. Send whatever was interrupted once more: what was stored is answered `same`.",
		Body:    &Form{submissionSchema, []string{jsonType, ndjsonType, csvType}},
		Answer:  &Form{typed[Submitted], []string{jsonType, ndjsonType}},
		MaxBody: maxBatch, Stream: &Stream{[]string{ndjsonType, csvType}, maxImport},
	}, s.submitObservations)
	Add(s, Route{
		Method: "GET", Path: "/v1/observations/{id}", ID: "read-observation", Tag: "Observations", Summary: "Read an observation", Role: Submit, Also: []Kind{Unavailable},
		Description: "The document as it is kept, what it replaced and was replaced by, and every assessment made of it.",
	}, s.readObservation)
}

func submissionSchema(r schemas) *huma.Schema {
	return named(r, "Submission", func() *huma.Schema {
		return either("One observation, or a list of them", observationSchema(r), list("Observations", observationSchema(r)))
	})
}

// Submitted answers a submission in JSON.
type Submitted struct {
	Lines []LineAnswer `json:"lines" doc:"One a document, in order"`
	Done  club.Done    `json:"done" doc:"How many of each status"`
}

// A LineAnswer is what became of one line.
type LineAnswer struct {
	Line        int      `json:"line" doc:"From 1; of a list, the document's number"`
	Status      string   `json:"status" enum:"stored,same,corrected,refused" doc:"What became of it"`
	Observation string   `json:"observation,omitempty" doc:"The observation's id; absent when refused"`
	Assessment  string   `json:"assessment,omitempty" doc:"The assessment's id; absent when refused"`
	Problem     *Problem `json:"problem,omitempty" doc:"Why it was refused"`
}

func (t *tale) line(l club.Line) LineAnswer {
	return LineAnswer{l.Line, l.Status, l.Observation, l.Assessment, t.of(l.Slips)}
}

func (s *Server) submitObservations(_ context.Context, in *struct {
	Rubric      string `query:"rubric" doc:"The rubric of CSV rows that name none" example:"throw-to-second"`
	ContentType string `header:"Content-Type" hidden:"true"`
}) (*huma.StreamResponse, error) {
	return &huma.StreamResponse{Body: func(h huma.Context) {
		c := humagin.Unwrap(h)
		var err error
		switch baseType(in.ContentType) {
		case ndjsonType:
			err = s.submitLines(c, club.NDJSON(patient(c)))
		case csvType:
			var src club.Source
			if src, err = club.CSV(patient(c), in.Rubric); err == nil {
				err = s.submitLines(c, src)
			}
		default:
			err = s.submitJSON(c)
		}
		if err != nil {
			s.refuseLate(c, failed(err))
		}
	}}, nil
}

// submitJSON answers one document or a list.
func (s *Server) submitJSON(c *gin.Context) error {
	body, err := io.ReadAll(c.Request.Body)
	if err != nil {
		return err
	}
	src, many, err := club.JSON(body)
	if err != nil {
		return err
	}
	out, tale := Submitted{Lines: []LineAnswer{}}, tale{}
	ctx := c.Request.Context()
	out.Done, err = s.Clubs.Submit(ctx, actor(ctx), src, func(lines []club.Line) error {
		for _, l := range lines {
			out.Lines = append(out.Lines, tale.line(l))
		}
		return nil
	})
	if err != nil {
		return err
	}
	if !many && out.Done.Refused == 1 {
		return out.Lines[0].Problem
	}
	c.Header("Content-Type", jsonType)
	return writeJSON(c.Writer, out)
}

// submitLines answers a source line by line while it is read.
func (s *Server) submitLines(c *gin.Context, src club.Source) error {
	w := http.NewResponseController(c.Writer)
	if err := w.EnableFullDuplex(); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	c.Header("Content-Type", ndjsonType)
	ctx := c.Request.Context()
	var out bytes.Buffer
	done, err := s.Clubs.Submit(ctx, actor(ctx), src, func(lines []club.Line) error {
		out.Reset()
		for _, l := range lines {
			if err := writeJSON(&out, new(tale).line(l)); err != nil { // each is gone when it is told
				return err
			}
			out.WriteByte('\n')
		}
		_ = w.SetWriteDeadline(time.Now().Add(bodyTime)) // where it cannot be set, the server's own holds
		if _, err := c.Writer.Write(out.Bytes()); err != nil {
			return err
		}
		c.Writer.Flush()
		return nil
	})
	if err != nil {
		return err
	}
	return writeLine(c, map[string]club.Done{"done": done})
}

// patient reads a long body: it may take as long as it needs, as long as it
// keeps coming.
func patient(c *gin.Context) io.Reader {
	return &patientReader{c.Request.Body, http.NewResponseController(c.Writer)}
}

type patientReader struct {
	body io.Reader
	w    *http.ResponseController
}

// Read gives the sender time for the next piece.
func (p *patientReader) Read(b []byte) (int, error) {
	_ = p.w.SetReadDeadline(time.Now().Add(bodyTime)) // where it cannot be set, the server's own holds
	return p.body.Read(b)
}

// An ObservationRead is a stored observation.
type ObservationRead struct {
	ID           string           `json:"id" doc:"The observation's id"`
	Player       string           `json:"player" doc:"The club's reference of the player"`
	Rubric       string           `json:"rubric" doc:"The rubric that judges it"`
	On           string           `json:"on" doc:"Day of the observation"`
	Session      string           `json:"session" doc:"Empty: none"`
	Rater        string           `json:"rater" doc:"Empty: none"`
	ReceivedAt   store.Time       `json:"received_at" doc:"When it came in"`
	Supersedes   *string          `json:"supersedes" doc:"The observation that this one replaced; null: none"`
	SupersededBy *string          `json:"superseded_by" doc:"The observation that replaced this one; null: it counts"`
	SHA256       string           `json:"sha256" doc:"Of the document, keys in order and without blanks (RFC 8785)"`
	Document     json.RawMessage  `json:"document" doc:"The document as it is kept"`
	Assessments  []AssessmentMade `json:"assessments" doc:"Made of it, newest first"`
}

// An AssessmentMade is one assessment of an observation.
type AssessmentMade struct {
	ID            string     `json:"id" doc:"The assessment's id"`
	Status        string     `json:"status" enum:"current,old" doc:"current: it counts; old: replaced, or its observation was"`
	RubricVersion int        `json:"rubric_version" doc:"The version of the rubric that judged"`
	CreatedAt     store.Time `json:"created_at" doc:"When it was made"`
}

func (s *Server) readObservation(ctx context.Context, in *ByID) (*Answer[ObservationRead], error) {
	o, err := s.Clubs.Observation(ctx, actor(ctx), in.ID)
	hash, _, _ := strings.Cut(o.InputHash, "-") // see store.Observation
	out := ObservationRead{
		ID: o.ID, Player: o.PlayerRef, Rubric: o.Rubric, On: o.On, Session: o.Session, Rater: o.Rater, ReceivedAt: o.ReceivedAt,
		Supersedes: o.Supersedes, SupersededBy: o.SupersededBy, SHA256: hash, Document: json.RawMessage(o.Input), Assessments: []AssessmentMade{},
	}
	for _, a := range o.Assessments {
		out.Assessments = append(out.Assessments, AssessmentMade{a.ID, a.Status, a.RubricVersion, a.CreatedAt})
	}
	return &Answer[ObservationRead]{out}, err
}

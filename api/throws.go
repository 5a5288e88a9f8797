package api

import (
	"context"

	"github.com/danielgtaylor/huma/v2"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

func (s *Server) throwRoutes() {
	Add(s, Route{
		Method: "POST", Path: "/v1/players/{ref}/throws", ID: "add-throws", Tag: "Workload", Summary: "Enter throws, innings, pain and rest", Role: Submit, Replayable: true, Also: []Kind{Unavailable},
		Description: "A list of entries as JSON, or a table as CSV with the same columns. Good lines are kept beside bad ones, which are refused by their number. A line that tells of pain or a blow is kept whatever else is wrong with it; with a date that cannot be read it counts from today.\n\n" +
			"An entry that is known already is answered `same` and not counted twice, so that a whole file can be sent again; tell like sessions of one day apart by game or note. Innings are whole or in outs. `cleared` is for an admin to enter, with the role of who cleared the player in the note. Free text: no names, no diagnoses. Throws of assessed observations are entered by themselves.",
		Body: &Form{ledgerSchema, []string{jsonType, csvType}},
	}, s.addThrows)
	Add(s, Route{
		Method: "GET", Path: "/v1/players/{ref}/throws", ID: "list-throws", Tag: "Workload", Summary: "Read a player's ledger", Role: Read, Also: []Kind{Unavailable},
		Description: "By date. Keys of role read and submit see neither health entries nor notes; that an instructor or admin saw them is logged.",
	}, s.listThrows)
	Add(s, Route{
		Method: "PUT", Path: "/v1/players/{ref}/throws/{id}", ID: "correct-throw", Tag: "Workload", Summary: "Correct an entry", Role: Submit, Replayable: true, Also: []Kind{Conflict, Unavailable},
		Description: "The new entry counts from now on, the old one is kept. What was counted from an observation is corrected there. Pain, a blow and a clearance are an admin's to take back.",
		Body:        &Form{entryRef, []string{jsonType}},
	}, s.correctThrow)
	Add(s, Route{
		Method: "DELETE", Path: "/v1/players/{ref}/throws/{id}", ID: "withdraw-throw", Tag: "Workload", Summary: "Take an entry back", Role: Submit, Also: []Kind{Conflict, Unavailable}, Status: 204,
		Description: "It is kept, and counts for nothing. Pain, a blow and a clearance are an admin's to take back.",
	}, s.withdrawThrow)
	Add(s, Route{
		Method: "GET", Path: "/v1/players/{ref}/workload", ID: "read-workload", Tag: "Workload", Summary: "What the rules in force allow a player", Role: Read, Also: []Kind{Conflict, Unavailable},
		Description: "On a day, with the calendar of the next two weeks, sums, load and cautions, by what was recorded and the policies of the club and the player's teams. A key of role read or submit learns that a caution applies, not why. That an instructor or admin saw health entries is logged.",
	}, s.readWorkload)
}

// ledgerSchema is one entry or a list of them.
func ledgerSchema(r schemas) *huma.Schema {
	return named(r, "LedgerEntries", func() *huma.Schema {
		return either("One entry, or a list of them", entryRef(r), list("Ledger entries", entryRef(r)))
	})
}

// ThrowAnswers answer lines of a ledger.
type ThrowAnswers struct {
	Lines []ThrowAnswer `json:"lines" doc:"One a line, in order"`
	Done  club.Done     `json:"done" doc:"How many of each status"`
}

// A ThrowAnswer is what became of one line.
type ThrowAnswer struct {
	Line    int      `json:"line" doc:"Of a table, with the header as line 1; of a list, the entry's number"`
	Status  string   `json:"status" enum:"stored,same,refused" doc:"What became of it"`
	ID      string   `json:"id,omitempty" doc:"Of the entry; absent when refused or known"`
	Problem *Problem `json:"problem,omitempty" doc:"What is wrong with it; a stored line has one if it tells of pain or a blow and something else is wrong"`
}

type throwInput struct {
	ByRef
	ContentType string `header:"Content-Type" hidden:"true"`
	RawBody     []byte
}

func (s *Server) addThrows(ctx context.Context, in *throwInput) (*Answer[ThrowAnswers], error) {
	lines, err := s.Clubs.AddThrows(ctx, actor(ctx), in.Ref, in.RawBody, baseType(in.ContentType) == csvType)
	if err != nil {
		return nil, err
	}
	out, tale := ThrowAnswers{Lines: []ThrowAnswer{}}, tale{}
	for _, l := range lines {
		out.Lines = append(out.Lines, ThrowAnswer{l.Line, l.Status, l.ID, tale.of(l.Slips)})
		switch l.Status {
		case club.Stored:
			out.Done.Stored++
		case club.Same:
			out.Done.Same++
		default:
			out.Done.Refused++
		}
	}
	return &Answer[ThrowAnswers]{out}, nil
}

// A Throw is an entry of a ledger.
type Throw struct {
	ID                string     `json:"id" doc:"Its id"`
	Date              string     `json:"date" doc:"The day, as the club's calendar has it"`
	Kind              string     `json:"kind" doc:"What is recorded; withdrawn: the entry it supersedes counts for nothing"`
	Count             *float64   `json:"count" doc:"Pitches, throws, days or innings; null: unknown"`
	CountAtLastBatter *int       `json:"count_at_last_batter" doc:"Pitches before the last batter's first"`
	Game              string     `json:"game" doc:"Which game of the day; empty: the day's one game"`
	Where             string     `json:"where" doc:"For which team"`
	Pain              string     `json:"pain" doc:"As it was said; empty: none, or not for this key to see"`
	Note              string     `json:"note" doc:"Empty: none, or not for this key to see"`
	Source            string     `json:"source" doc:"assessed: counted from an observation"`
	Assessment        *string    `json:"assessment" doc:"The assessment it was counted from"`
	Supersedes        *string    `json:"supersedes" doc:"The entry it corrects"`
	SupersededBy      *string    `json:"superseded_by" doc:"The entry that corrects it"`
	At                store.Time `json:"at" doc:"When it was entered"`
}

func throwOf(t store.Throw) Throw {
	return Throw{t.ID, t.Date, t.Kind, club.CountOf(t), t.CountAtLastBatter, t.Game, t.Where, t.Pain, t.Note, t.Source, t.AssessmentID, t.Supersedes, t.SupersededBy, t.At}
}

func (s *Server) listThrows(ctx context.Context, in *struct {
	ByRef
	From string `query:"from" format:"date" doc:"First day"`
	To   string `query:"to" format:"date" doc:"Last day"`
	All  bool   `query:"all" doc:"Corrected entries too"`
}) (*Answer[Page[Throw]], error) {
	throws, err := s.Clubs.Throws(ctx, actor(ctx), in.Ref, in.From, in.To, in.All)
	items := make([]Throw, len(throws))
	for i, t := range throws {
		items[i] = throwOf(t)
	}
	return &Answer[Page[Throw]]{Page[Throw]{Items: items}}, err
}

// OfPlayer names a row of a player in the path.
type OfPlayer struct {
	ByRef
	ID string `path:"id" format:"uuid" doc:"Its id"`
}

func (s *Server) correctThrow(ctx context.Context, in *struct {
	OfPlayer
	RawBody []byte
}) (*Answer[ThrowAnswer], error) {
	l, err := s.Clubs.CorrectThrow(ctx, actor(ctx), in.Ref, in.ID, in.RawBody)
	return &Answer[ThrowAnswer]{ThrowAnswer{Line: l.Line, Status: l.Status, ID: l.ID}}, err
}

func (s *Server) withdrawThrow(ctx context.Context, in *OfPlayer) (*struct{}, error) {
	return nil, s.Clubs.WithdrawThrow(ctx, actor(ctx), in.Ref, in.ID)
}

func (s *Server) readWorkload(ctx context.Context, in *struct {
	ByRef
	On      string `query:"on" format:"date" doc:"The day asked about; today where the club is when left out"`
	Planned string `query:"planned" pattern:"^(drills|[0-9]{1,3})$" doc:"So many more throws that day, or drills: one dose of each drill that the latest assessments hand out. if_throws_today says what they would come to" example:"drills"`
}) (*Answer[club.Arm], error) {
	a, err := s.Clubs.Workload(ctx, actor(ctx), in.Ref, in.On, in.Planned)
	return &Answer[club.Arm]{a}, err
}

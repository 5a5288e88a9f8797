package api

import (
	"context"

	"rootcue/engine/panel"
	"rootcue/internal/club"
)

func (s *Server) standingRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/tryouts/{id}/missing", ID: "list-missing-looks", Tag: tryoutTag, Summary: "Who still wants looks, and which would teach most", Role: Submit, Also: []Kind{Unavailable},
		Description: "By bib: on which items that count a player was seen by fewer evaluators than the tryout wants, and who may still give a look. `plan` names blind looks, for which the evaluator does not see the grades given so far: where everyone has seen everyone, second looks. Evaluators who are recused or not assigned are not asked for.",
	}, s.listMissing)
	Add(s, Route{
		Method: "GET", Path: "/v1/tryouts/{id}/agreement", ID: "read-agreement", Tag: tryoutTag, Summary: "How far the panel agrees", Role: Edit, Also: []Kind{Unavailable},
		Description: "By item: intraclass correlations, Krippendorff's α and Cohen's κ, with words beside them; how strict each evaluator is; and what the instructor should look into first. `upside-down`: over at least 5 players an evaluator's grades run against the others' by more than chance alone does 1 time in 10, and the differences from them correlate below −0.3. `flat`: less than a fifth of the panel's spread. `unconnected`: no player was seen by both groups.",
	}, s.readAgreement)
	Add(s, Route{
		Method: "GET", Path: "/v1/tryouts/{id}/standing", ID: "read-standing", Tag: tryoutTag, Summary: "Where the players stand", Role: Edit, Also: []Kind{Unavailable},
		Description: "By bib, never with names, and for instructors alone: grades as an average evaluator would give them, the score with its uncertainty, the rank with its interval, the tier and the chance of being among the best. The same grades and settings give the same answer. `without` says what would change if one evaluator were left out. Where the panel falls apart there is no standing: `unconnected` names the parts and the fewest looks that join them. It supports the club's decision and is none.",
	}, s.readStanding)
	Add(s, Route{
		Method: "GET", Path: "/v1/tryouts/{id}/training", ID: "read-training", Tag: tryoutTag, Summary: "How evaluators compare with the instructor", Role: Edit, Also: []Kind{Unavailable},
		Description: "The tryout taken as a training set: by evaluator and item, how much more or less is given than by the instructor, how far they agree and on which bibs they differ, the farthest first. First looks alone are compared.",
	}, s.readTraining)
}

// MissingLooks are looks that are wanted.
type MissingLooks struct {
	Items []MissingLook `json:"items" doc:"By bib, the fewest looks first"`
	Plan  []panel.Look  `json:"plan" doc:"Blind looks that would teach most, item by item; where a panel falls apart, the fewest that join it"`
}

// A MissingLook is a player seen by too few.
type MissingLook struct {
	Bib    string   `json:"bib" doc:"Whom"`
	Items  []string `json:"items" doc:"On what"`
	Looks  int      `json:"looks" doc:"How many evaluators have seen it"`
	Wanted int      `json:"wanted" doc:"How many should"`
	By     []string `json:"by" doc:"Who may give a look"`
	Says   string   `json:"says" doc:"The same in words"`
}

func (s *Server) listMissing(ctx context.Context, in *struct {
	ByID
	Looks int `query:"looks" default:"1" minimum:"0" maximum:"20" doc:"Blind looks to plan for each item"`
}) (*Answer[MissingLooks], error) {
	m, err := s.Clubs.MissingLooks(ctx, actor(ctx), in.ID, in.Looks)
	out := MissingLooks{make([]MissingLook, len(m.Looks)), m.Plan}
	for i, l := range m.Looks {
		out.Items[i] = MissingLook{l.Bib, l.Items, l.Looks, l.Wanted, l.By, l.Says()}
	}
	return &Answer[MissingLooks]{out}, err
}

// An AgreementAnswer is how far a panel agrees.
type AgreementAnswer struct {
	Agreement   []panel.Agreement `json:"agreement" doc:"By item"`
	Severity    []panel.Severity  `json:"severity" doc:"By item and evaluator"`
	Flags       []panel.Flag      `json:"flags" doc:"What the instructor should look into before using the standing"`
	Notes       []panel.Note      `json:"notes" doc:"How the answer came about"`
	Unconnected []panel.Split     `json:"unconnected" doc:"Items whose panel falls apart"`
	LeftOut     []LeftOut         `json:"left_out" doc:"Grades that are kept and do not count"`
}

// A LeftOut is a number of grades that do not count.
type LeftOut struct {
	Code      string `json:"code" enum:"withdrawn,recused,not-on-panel,not-an-item" doc:"Why"`
	Bib       string `json:"bib,omitempty" doc:"Of whom, where that is why"`
	Evaluator string `json:"evaluator,omitempty" doc:"By whom, where that is why"`
	Item      string `json:"item,omitempty" doc:"On what, where that is why"`
	Grades    int    `json:"grades" doc:"How many"`
	Says      string `json:"says" doc:"The same in words"`
}

func leftOut(list []club.LeftOut) []LeftOut {
	out := make([]LeftOut, len(list))
	for i, l := range list {
		out[i] = LeftOut{l.Code, l.Bib, l.Evaluator, l.Item, l.Grades, l.Says()}
	}
	return out
}

func (s *Server) readAgreement(ctx context.Context, in *ByID) (*Answer[AgreementAnswer], error) {
	r, err := s.Clubs.Standing(ctx, actor(ctx), in.ID)
	return &Answer[AgreementAnswer]{AgreementAnswer{r.Agreement, r.Severity, r.Flags, r.Notes, r.Splits, leftOut(r.LeftOut)}}, err
}

// A StandingAnswer is where the players of a tryout stand.
type StandingAnswer struct {
	State       string             `json:"state" enum:"open,closed" doc:"open: grades may still come in"`
	Grades      int                `json:"grades" doc:"How many count"`
	Weights     map[string]float64 `json:"weights" doc:"What each item counts in the score; below zero: less is better"`
	Best        int                `json:"best" doc:"The places of which chance_best speaks"`
	Standing    []panel.Standing   `json:"standing" doc:"Best first; empty where a panel falls apart or nothing that counts was graded"`
	Missing     []panel.Missing    `json:"missing" doc:"Items that nobody graded a player on"`
	Flags       []panel.Flag       `json:"flags" doc:"What the instructor should look into before using it"`
	Notes       []panel.Note       `json:"notes" doc:"How the answer came about, what it is good for, and what was left out"`
	Without     []panel.Without    `json:"without" doc:"What changes when one evaluator is left out"`
	Unconnected []panel.Split      `json:"unconnected" doc:"Items whose panel falls apart, with the looks that join it"`
	LeftOut     []LeftOut          `json:"left_out" doc:"Grades that are kept and do not count"`
}

func (s *Server) readStanding(ctx context.Context, in *ByID) (*Answer[StandingAnswer], error) {
	r, err := s.Clubs.Standing(ctx, actor(ctx), in.ID)
	return &Answer[StandingAnswer]{StandingAnswer{r.State, r.Grades, r.Weights, r.Best, r.Result.Standing, r.Missing, r.Flags, r.Notes, r.Without, r.Splits, leftOut(r.LeftOut)}}, err
}

// TrainingAnswer compares evaluators with the instructor.
type TrainingAnswer struct {
	Instructor string          `json:"instructor" doc:"With whom"`
	Evaluators []panel.Trained `json:"evaluators" doc:"By item and evaluator"`
}

func (s *Server) readTraining(ctx context.Context, in *struct {
	ByID
	Instructor string `query:"instructor" required:"true" minLength:"1" maxLength:"100" doc:"Who of the panel is the instructor" example:"E1"`
}) (*Answer[TrainingAnswer], error) {
	r, err := s.Clubs.Training(ctx, actor(ctx), in.ID, in.Instructor)
	return &Answer[TrainingAnswer]{TrainingAnswer{in.Instructor, r}}, err
}

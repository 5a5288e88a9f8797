package club

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"rootcue/engine"
	"rootcue/engine/civil"
	"rootcue/engine/practice"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// A GroupMember is what a plan rests on for one player.
type GroupMember struct {
	Ref          string             `json:"ref" doc:"The club's own reference"`
	Seen         []GroupSeen        `json:"seen" doc:"The latest assessment by each rubric in force"`
	ThrowsLeft   *int               `json:"throws_left" doc:"That day, by the strictest rule in force, advice among them; null where no rule says"`
	AsRecordedTo *civil.Date        `json:"as_recorded_to" doc:"The latest entry of the ledger; null: nothing is recorded, the workload is not known"`
	Roots        []GroupRoot        `json:"roots" doc:"What is handed out to work on that day, the first first, with what the gains rest on"`
	Cautions     []workload.Caution `json:"cautions" doc:"The player's own, the hardest first; those for everybody stand beside the plan"`
	Notes        []workload.Remark  `json:"notes" doc:"What to know about this player's part"`
}

// A GroupSeen names an assessment.
type GroupSeen struct {
	Rubric     string `json:"rubric"`
	Assessment string `json:"assessment" doc:"Its id"`
	On         string `json:"on" doc:"The day it is of"`
}

// A GroupRoot is a fault to work on. What a turn at one of its drills gives is
// recovers_s × chance.
type GroupRoot struct {
	Rubric    string        `json:"rubric"`
	Fault     string        `json:"fault"`
	Title     string        `json:"title"`
	Drills    []string      `json:"drills" doc:"What the rubric has against it"`
	RecoversS engine.Number `json:"recovers_s" doc:"What it gives back, seconds"`
	U         engine.Number `json:"u" doc:"Standard uncertainty of that, seconds"`
	Chance    engine.Number `json:"chance" doc:"That it is there, by its own measure"`
}

// oldAfter is how many days an assessment speaks for a player without a word
// that it is old, as with a stature.
const oldAfter = 90

// groupMember reads what the plan of a day needs of one player.
func (c *Clubs) groupMember(ctx context.Context, tx store.Tx, g *shownGate, rubrics []*Version, ref string) (m GroupMember, who practice.Player, err error) {
	m = GroupMember{Ref: ref, Seen: []GroupSeen{}, Roots: []GroupRoot{}, Notes: []workload.Remark{}}
	gate, err := c.gateToday(ctx, tx, g, ref)
	if err != nil {
		return m, who, err
	}
	m.ThrowsLeft, m.AsRecordedTo, m.Cautions = gate.ThrowsLeft, gate.RecordedTo, gate.Cautions
	who = practice.Player{Ref: ref, ThrowsLeft: gate.ThrowsLeft, Stopped: gate.ThrowingStopped, Gains: map[string]float64{}}
	for _, v := range rubrics {
		row, doc, err := c.latest(ctx, tx, ref, v.Name, g.today, gate)
		if err != nil {
			return m, who, err
		}
		if row.ID == "" {
			continue
		}
		m.Seen = append(m.Seen, GroupSeen{v.Name, row.ID, row.On})
		for _, r := range doc.Roots() {
			m.Roots = append(m.Roots, GroupRoot{v.Name, r.Fault, r.Title, r.Drills, engine.Number(r.RecoversS), engine.Number(r.U), engine.Number(r.Chance)})
		}
		for drill, s := range doc.Gains() {
			who.Gains[drill] += s
		}
	}
	m.remark(gate, g.today)
	if len(m.Roots) == 0 && len(m.Notes) > 0 {
		who.Why = m.Notes[0].Says
	}
	return m, who, nil
}

// latest is a player's latest assessment by a rubric up to a day, and what it
// hands out; without one the id is empty.
func (c *Clubs) latest(ctx context.Context, tx store.Tx, ref, name string, on civil.Date, gate workload.Gate) (row store.Assessment, doc practice.Assessment, err error) {
	rows, err := tx.Assessments(ctx, store.AssessmentFilter{Player: ref, Rubric: name, To: on.String()}, store.Page{Limit: 1})
	if err != nil || len(rows) == 0 {
		return row, doc, err
	}
	doc, err = c.handedOut(ctx, tx, rows[0], gate)
	return rows[0], doc, err
}

// handedOut is an assessment with the instructor's word, under a gate.
func (c *Clubs) handedOut(ctx context.Context, tx store.Tx, row store.Assessment, gate workload.Gate) (doc practice.Assessment, err error) {
	latest, err := tx.LatestReviews(ctx, []string{row.ID})
	if err != nil {
		return doc, err
	}
	var review Review
	if is, known := latest[row.ID]; known {
		if err := json.Unmarshal(is.Body, &review); err != nil {
			return doc, err
		}
	}
	v, err := c.version(ctx, tx, row.Rubric, row.RubricVersion)
	if err != nil {
		return doc, err
	}
	body, err := rework(row.Body, gate, func(w []engine.WorkOn) []engine.WorkOn { return review.apply(w, v.Rubric) })
	if err != nil {
		return doc, err
	}
	return practice.ReadAssessment(body)
}

// remark says what to know about a member's part, the weightiest first. It
// gives no reason for a stop: that is in the cautions, for those who may see it.
func (m *GroupMember) remark(gate workload.Gate, on civil.Date) {
	say := func(code, says string) { m.Notes = append(m.Notes, workload.Remark{Code: code, Says: says}) }
	switch {
	case gate.EmptyAll:
		say("all-stopped", "A caution stops throwing and catching: nothing is handed out to this player.")
	case gate.ThrowingStopped:
		say("throwing-stopped", "A caution stops throwing: no turn at a station that throws.")
	}
	if len(m.Seen) == 0 {
		say("no-assessment", "No assessment by a rubric in force: nothing is known to work on.")
	}
	for _, s := range m.Seen {
		day, err := civil.Parse(s.On)
		if days := day.DaysTo(on); err == nil && days > oldAfter {
			say("assessment-old", fmt.Sprintf("The latest assessment by %s is of %s, %d days before: look again before planning by it.", s.Rubric, s.On, days))
		}
	}
	if len(m.Seen) > 0 && len(m.Roots) == 0 && !gate.EmptyAll {
		say("nothing-to-work-on", "Nothing to work on is left that may be handed out that day.")
	}
	if gate.RecordedTo == nil {
		say("workload-unknown", "The arm's workload is not known: nothing is recorded. Ask how much was thrown before any throwing.")
	}
	if gate.ThrowsLeft == nil {
		say("no-limit-known", "No rule in force says how many throws are left: go by the ledger and by how the arm feels.")
	}
}

// forEverybody are the cautions that stand beside a plan once.
var forEverybody = []string{workload.Standing.Code, "other-teams", "no-catcher-limit"}

// split takes those for everybody out of a member's cautions.
func (m *GroupMember) split() (common []workload.Caution) {
	is := func(c workload.Caution) bool { return slices.Contains(forEverybody, c.Code) }
	common = slices.DeleteFunc(slices.Clone(m.Cautions), func(c workload.Caution) bool { return !is(c) })
	m.Cautions = slices.DeleteFunc(slices.Clone(m.Cautions), is)
	return common
}

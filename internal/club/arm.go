package club

import (
	"context"
	"errors"
	"slices"
	"strings"

	"rootcue/engine/civil"
	"rootcue/engine/measure"
	"rootcue/engine/place"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// ErrNoAge: nothing tells how old the player is, so that no rule can be chosen.
var ErrNoAge = errors.New("the player's age is not known")

// An Arm is what the rules in force allow a player on a day.
type Arm struct {
	workload.Answer
	PlannedDrills []PlannedDrill `json:"planned_drills,omitempty" doc:"Whose throws if_throws_today adds up; absent unless asked for"`
}

// Workload says what the rules in force allow a player on a day, today for "",
// and what planned throws would come to, "" for none. Who may not see health
// entries learns that a caution applies, not why.
func (c *Clubs) Workload(ctx context.Context, a Actor, ref, day, planned string) (answer Arm, err error) {
	ask := func(tx store.Tx) error {
		drills, throws, err := c.plannedThrows(ctx, tx, ref, day, planned)
		if err != nil {
			return err
		}
		q, policies, err := c.armQuestion(ctx, tx, ref, day)
		if err != nil {
			return err
		}
		q.Throws = throws
		answer = Arm{workload.Judge(q, policies), drills}
		if !a.Health {
			answer.Answer = withoutReasons(answer.Answer)
			answer.AsRecordedTo = lastSeen(q.Ledger)
		}
		return nil
	}
	if !a.Health {
		err = c.view(ctx, a, ask)
		return answer, err
	}
	return answer, c.write(ctx, a, func(tx store.Tx) error {
		if err := ask(tx); err != nil {
			return err
		}
		throws, err := tx.Throws(ctx, ref, "", answer.On.String(), false)
		if err != nil {
			return err
		}
		return noteHealthRead(ctx, tx, a, ref, throws)
	})
}

// armQuestion is the question about a player and a day, with the policies that
// answer it.
func (c *Clubs) armQuestion(ctx context.Context, tx store.Tx, ref, day string) (q workload.Request, list []*workload.Policy, err error) {
	s, err := settingsOf(ctx, tx)
	if err != nil {
		return q, nil, err
	}
	if q.On, err = dayOr(tx, s, day); err != nil {
		return q, nil, err
	}
	p, err := tx.Player(ctx, ref)
	if err != nil {
		return q, nil, err
	}
	age, err := ageOf(ctx, tx, p, q.On)
	if err != nil {
		return q, nil, err
	}
	if q.Age, q.Born = age.Age, age.Born; q.Age < 0 && q.Born.IsZero() {
		return q, nil, ErrNoAge
	}
	if list, err = c.policiesFor(ctx, tx, s, p); err != nil {
		return q, nil, err
	}
	q.Ledger, err = ledgerOf(ctx, tx, ref, q.On)
	if err != nil {
		return q, nil, err
	}
	if len(list) == 0 {
		return q, nil, nil
	}
	if slips := q.Problems(list); place.Failed(slips) {
		return q, nil, &Refusal{slips}
	}
	return q, list, nil
}

// dayOr reads a day, today for "".
func dayOr(tx store.Tx, s Settings, day string) (civil.Date, error) {
	if day == "" {
		return s.today(tx)
	}
	d, err := civil.Parse(day)
	if err != nil {
		return d, refuse("bad-date", "", err.Error(), "a date such as 2026-05-09", "")
	}
	return d, nil
}

// healthRules are the rules that tell of somebody's health.
var healthRules = map[string]bool{string(workload.Pain): true, string(workload.Blow): true, string(workload.Tired): true}

// withoutReasons takes out of an answer what tells of a player's health: pain,
// blows and tiredness become a caution without a reason.
func withoutReasons(a workload.Answer) workload.Answer {
	for _, v := range []*workload.Verdict{&a.Pitching, &a.Catching, &a.Throwing} {
		*v = withoutReason(*v)
	}
	policies := a.Policies[:0:0]
	for _, p := range a.Policies {
		p.Pitching, p.Catching, p.Throwing = withoutReason(p.Pitching), withoutReason(p.Catching), withoutReason(p.Throwing)
		policies = append(policies, p)
	}
	a.Policies = policies
	a.Cautions = withoutCauses(a.Cautions)
	return a
}

// lastSeen is the day of the latest entry that does not tell of somebody's
// health; nil without one.
func lastSeen(l workload.Ledger) (last *civil.Date) {
	for i := range l.Entries { // in the order of dates
		if !health(string(l.Entries[i].Kind)) {
			last = &l.Entries[i].Date
		}
	}
	return last
}

func withoutReason(v workload.Verdict) workload.Verdict {
	if healthRules[v.Rule] {
		v.Policy, v.Rule, v.Says, v.Entry = "", "caution", cautionSays, nil
	}
	return v
}

// withoutCauses reduces cautions that are more than notes to one without a
// reason, and keeps the standing one.
func withoutCauses(all []workload.Caution) []workload.Caution {
	kept := []workload.Caution{}
	if len(all) > 0 && all[0].Level != workload.Note { // the hardest comes first
		kept = append(kept, workload.Caution{Code: cautionApplies, Level: all[0].Level, Stops: []workload.Activity{}, Says: cautionSays, Source: "common practice"})
	}
	for _, c := range all {
		if c.Code == workload.Standing.Code {
			kept = append(kept, c)
		}
	}
	return kept
}

// notesOfAll leaves out the notes that tell a stature or of a day of stop.
func notesOfAll(notes []measure.Note) []measure.Note {
	return slices.DeleteFunc(slices.Clone(notes), func(n measure.Note) bool {
		return strings.HasPrefix(n.Code, "stature-") || n.Code == "seen-on-a-stop-day"
	})
}

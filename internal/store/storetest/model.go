package storetest

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"rootcue/internal/store"
)

// model is a store of observations and assessments as plain lists, to hold the
// real one against.
type model struct {
	s        store.Store
	club     string
	seen     []store.Observation
	assessed []store.Assessment
	verdicts map[string]string // of fault late-feet, by assessment
	changes  int64
	made     int
}

// against runs random work on the store and on the model; both must agree after
// every step. Each run has a club of its own, so that runs also prove that
// clubs stay apart.
func against(t *testing.T, s store.Store) {
	runs := 0
	rapid.Check(t, func(rt *rapid.T) {
		runs++
		m := &model{s: s, club: NewClub(t, s, fmt.Sprintf("Club %d", runs)), verdicts: map[string]string{}}
		rt.Repeat(map[string]func(*rapid.T){
			"save":     m.save,
			"correct":  m.correct,
			"reassess": m.reassess,
			"erase":    m.erase,
			"forget":   m.forget,
			"":         m.check,
		})
	})
}

var (
	someone = rapid.SampledFrom([]string{"P-1", "P-2", "P-3"})
	someDay = rapid.SampledFrom([]string{"2026-05-01", "2026-05-02", "2026-05-03", "2026-05-04"})
	someWay = rapid.SampledFrom([]string{"fault", "close", "sound"})
)

// step runs one transaction and says what it must end with.
func (m *model) step(t *rapid.T, want error, fn func(store.Tx) error) {
	t.Helper()
	err := m.s.InTx(ctx, m.club, fn)
	if want == nil && err != nil {
		t.Fatalf("found %v, want none", err)
	}
	if want != nil && !errors.Is(err, want) {
		t.Fatalf("found %v, want %v", err, want)
	}
}

// submission makes one of new content, or now and then of content known already.
func (m *model) submission(t *rapid.T) (sub store.Submission, known bool) {
	m.made++
	word := fmt.Sprintf("doc %d", m.made)
	if m.made > 1 && rapid.IntRange(0, 9).Draw(t, "repeat") == 0 {
		word = fmt.Sprintf("doc %d", rapid.IntRange(1, m.made-1).Draw(t, "which"))
	}
	sub = Sub(someone.Draw(t, "player"), someDay.Draw(t, "day"), word)
	sub.Observation.Session = rapid.SampledFrom([]string{"", "a", "b"}).Draw(t, "session")
	sub.Verdicts = []store.Verdict{{Fault: "late-feet", Verdict: someWay.Draw(t, "verdict")}}
	return sub, slices.ContainsFunc(m.seen, func(o store.Observation) bool { return o.InputHash == sub.Observation.InputHash })
}

func (m *model) keep(t *rapid.T, sub store.Submission, want error) {
	subs := []store.Submission{sub}
	m.step(t, want, func(tx store.Tx) error {
		if err := tx.EnsurePlayers(ctx, sub.Observation.PlayerRef); err != nil {
			return err
		}
		if err := tx.Save(ctx, subs); err != nil {
			return err
		}
		return tx.AppendChanges(ctx, []store.Change{{Who: "k", What: "observation.stored"}})
	})
	if want == nil {
		if old := sub.Observation.Supersedes; old != nil {
			m.observation(*old).SupersededBy = &subs[0].Observation.ID
			m.retire(*old)
			for i := range m.seen { // who goes back to a content takes it over
				if o := &m.seen[i]; o.InputHash == sub.Observation.InputHash {
					o.InputHash += "-" + o.ID
				}
			}
		}
		m.seen = append(m.seen, subs[0].Observation)
		m.assessed = append(m.assessed, subs[0].Assessment)
		m.verdicts[subs[0].Assessment.ID] = sub.Verdicts[0].Verdict
		m.changes++
	}
}

func (m *model) observation(id string) *store.Observation {
	return &m.seen[slices.IndexFunc(m.seen, func(o store.Observation) bool { return o.ID == id })]
}

func (m *model) retire(observation string) {
	for i := range m.assessed {
		if m.assessed[i].ObservationID == observation {
			m.assessed[i].Status = store.Old
			delete(m.verdicts, m.assessed[i].ID)
		}
	}
}

func (m *model) save(t *rapid.T) {
	sub, known := m.submission(t)
	if known {
		m.keep(t, sub, store.ErrConflict)
		return
	}
	m.keep(t, sub, nil)
}

func (m *model) correct(t *rapid.T) {
	if len(m.seen) == 0 {
		return
	}
	sub, _ := m.submission(t)
	old := rapid.SampledFrom(m.seen).Draw(t, "old")
	sub.Observation.Supersedes = &old.ID
	known := slices.ContainsFunc(m.seen, func(o store.Observation) bool {
		return o.InputHash == sub.Observation.InputHash && o.SupersededBy == nil && o.ID != old.ID
	})
	if known || old.SupersededBy != nil {
		m.keep(t, sub, store.ErrConflict)
		return
	}
	m.keep(t, sub, nil)
}

func (m *model) reassess(t *rapid.T) {
	if len(m.seen) == 0 {
		return
	}
	o := rapid.SampledFrom(m.seen).Draw(t, "observation")
	verdict := someWay.Draw(t, "verdict")
	var want error
	if o.SupersededBy != nil {
		want = store.ErrConflict
	}
	var now store.Assessment
	m.step(t, want, func(tx store.Tx) (err error) {
		a := store.Assessment{ObservationID: o.ID, RubricVersion: 2, Body: store.Body(`{}`), Measures: store.Measures{}}
		now, err = tx.Reassess(ctx, a, []store.Verdict{{Fault: "late-feet", Verdict: verdict}})
		return err
	})
	if want == nil {
		m.retire(o.ID)
		m.assessed = append(m.assessed, now)
		m.verdicts[now.ID] = verdict
	}
}

func (m *model) erase(t *rapid.T) {
	ref := someone.Draw(t, "player")
	err := m.s.InTx(ctx, m.club, func(tx store.Tx) error { _, err := tx.ErasePlayer(ctx, ref, "k"); return err })
	if !slices.ContainsFunc(m.seen, func(o store.Observation) bool { return o.PlayerRef == ref }) {
		if err == nil { // known, though nothing is held
			m.changes++
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	m.changes++
	m.drop(func(o store.Observation) bool { return o.PlayerRef == ref })
}

func (m *model) forget(t *rapid.T) {
	before := someDay.Draw(t, "before")
	m.step(t, nil, func(tx store.Tx) error { _, err := tx.ForgetBefore(ctx, before, 0); return err })
	m.drop(func(o store.Observation) bool { return o.On < before })
}

func (m *model) drop(gone func(store.Observation) bool) {
	m.assessed = slices.DeleteFunc(m.assessed, func(a store.Assessment) bool {
		lost := gone(*m.observation(a.ObservationID))
		if lost {
			delete(m.verdicts, a.ID)
		}
		return lost
	})
	m.seen = slices.DeleteFunc(m.seen, gone)
}

// check holds a random list, page by page, and the log against the model.
func (m *model) check(t *rapid.T) {
	f := store.AssessmentFilter{
		Player:  rapid.SampledFrom([]string{"", "", "P-1", "P-2"}).Draw(t, "of player"),
		Session: rapid.SampledFrom([]string{"", "", "a"}).Draw(t, "of session"),
		From:    rapid.SampledFrom([]string{"", "2026-05-02"}).Draw(t, "from"),
		To:      rapid.SampledFrom([]string{"", "2026-05-03"}).Draw(t, "to"),
		Old:     rapid.Bool().Draw(t, "old"),
	}
	if rapid.Bool().Draw(t, "by verdict") {
		f.Fault, f.Verdict, f.Old = "late-feet", someWay.Draw(t, "of verdict"), false
	}
	limit := rapid.IntRange(1, 5).Draw(t, "limit")
	err := m.s.View(ctx, m.club, func(tx store.Tx) error {
		var found []store.Assessment
		var after store.Cursor
		for {
			page, err := tx.Assessments(ctx, f, store.Page{After: after, Limit: limit})
			if err != nil {
				return err
			}
			found = append(found, page...)
			if len(page) < limit {
				break
			}
			after = page[len(page)-1].Cursor()
		}
		if diff := gocmp.Diff(m.list(f), found); diff != "" {
			t.Fatalf("%+v: model - and store +:\n%s", f, diff)
		}
		entries, err := tx.VerifyChanges(ctx)
		if entries != m.changes {
			t.Fatalf("found %d log entries, want %d", entries, m.changes)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

func (m *model) list(f store.AssessmentFilter) (want []store.Assessment) {
	for _, a := range m.assessed {
		if (f.Player == "" || f.Player == a.PlayerRef) && (f.Session == "" || f.Session == a.Session) &&
			(f.From == "" || a.On >= f.From) && (f.To == "" || a.On <= f.To) &&
			(f.Old || a.Status == store.Current) && (f.Fault == "" || m.verdicts[a.ID] == f.Verdict) {
			want = append(want, a)
		}
	}
	slices.SortFunc(want, func(a, b store.Assessment) int { return -cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.ID, b.ID)) })
	return want
}

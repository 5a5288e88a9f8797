package club_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine/rubric"
	"rootcue/internal/club"
	"rootcue/internal/store"
	"rootcue/rubrics"
)

const throw = "throw-to-second"

// atMost edits the limit of a fault at 11-12.
func atMost(fault string, limit float64) []rubric.LimitEdit {
	return []rubric.LimitEdit{{Fault: fault, Band: "11-12", AtMost: &limit}}
}

// edit publishes a limit and gives the version.
func edit(t testing.TB, c *club.Clubs, a club.Actor, fault string, limit float64) *club.Version {
	t.Helper()
	now, err := c.Rubric(ctx, a, throw, 0)
	if err != nil {
		t.Fatal(err)
	}
	v, err := c.EditLimits(ctx, a, club.Edit{Name: throw, Limits: atMost(fault, limit), Base: now.Document.Version, Why: "a test"})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// After three versions and a re-assessment, every assessment ever made comes
// out again to the byte, from the stored version and the stored input.
func TestReplay(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		a := member(t, c, "Harbour", "edit")
		lines := func(n int, off float64) string { return doc(fmt.Sprint("P-", n), "", rep(1, off), rep(2, off+1)) }
		submit(t, c, a, club.NDJSON(strings.NewReader(lines(1, 20)+"\n"+lines(2, 4))), nil)
		edit(t, c, a, "stride-off-line", 11)
		submit(t, c, a, club.NDJSON(strings.NewReader(lines(3, 15)+"\n"+lines(2, 5))), nil)
		v := edit(t, c, a, "stride-off-line", 12)
		if n, err := reassessed(c, a, v.Document.Version); err != nil || n.Done != 3 || n.Kept != 0 {
			t.Fatalf("re-assessed %+v, %v", n, err)
		}
		if n, err := reassessed(c, a, v.Document.Version); err != nil || n.Done != 0 || n.Kept != 3 {
			t.Fatalf("re-assessed again %+v, %v", n, err)
		}
		if n, err := c.ReassessSome(ctx, a, throw, 2, club.Progress{}, 100); err != nil || n.Done != 0 || n.Overtaken != 3 {
			t.Fatalf("a job of an older version that comes late: %+v, %v", n, err)
		}
		var all []store.Assessment
		view(t, c, a, func(tx store.Tx) (err error) {
			all, err = tx.Assessments(ctx, store.AssessmentFilter{Old: true}, store.Page{})
			return err
		})
		versions := map[int]int{}
		for _, row := range all {
			versions[row.RubricVersion]++
			r, err := club.New(c.Store).Replay(ctx, a, row.ID) // compiled anew
			if err != nil || !r.Same || !bytes.Equal(r.Again, row.Body) {
				t.Errorf("%s of version %d comes out otherwise (%v): %s", row.ID, row.RubricVersion, err, cmp.Diff(string(r.Stored), string(r.Again)))
			}
		}
		if diff := cmp.Diff(map[int]int{1: 2, 2: 2, 3: 3}, versions); diff != "" {
			t.Errorf("assessments by version, found + and not -:\n%s", diff)
		}
	})
}

// Twenty changes of limits leave every other byte of the file alone.
func TestEditsLeaveTheRestAlone(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "edit")
	before, err := rubrics.Files.ReadFile(throw + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	var v *club.Version
	for i := range 20 {
		v = edit(t, c, a, "tall-set", 0.37+float64(i+1)/1000)
	}
	old, late := strings.Split(string(before), "\n"), strings.Split(string(v.Source), "\n")
	if v.Document.Version != 21 || len(old) != len(late) {
		t.Fatalf("version %d, %d lines of %d", v.Document.Version, len(late), len(old))
	}
	changed := 0
	for i := range old {
		if old[i] == late[i] {
			continue
		}
		changed++
		if want := strings.Replace(old[i], `"11-12": 0.37`, `"11-12": 0.39`, 1); late[i] != want {
			t.Errorf("line %d is %q, wanted %q", i+1, late[i], want)
		}
	}
	if changed != 1 {
		t.Errorf("%d lines changed, wanted one", changed)
	}
}

// reassessed does all parts: one has its time, whatever the machine.
func reassessed(c *club.Clubs, a club.Actor, version int) (p club.Progress, err error) {
	for {
		p, err = c.ReassessSome(ctx, a, throw, version, p, 100)
		if err != nil || p.After == (store.Cursor{}) {
			return p, err
		}
	}
}

// What is said before publishing is what re-assessment then does.
func TestImpactIsWhatHappens(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "edit")
	var docs []string
	for i := range 30 {
		docs = append(docs, doc(fmt.Sprint("P-", i), "", rep(1, float64(i)), rep(2, float64(i)), rep(3, float64(i)), rep(4, float64(i))))
	}
	submit(t, c, a, club.NDJSON(strings.NewReader(strings.Join(docs, "\n"))), nil)
	src, err := c.Edited(ctx, a, throw, atMost("stride-off-line", 13))
	if err != nil {
		t.Fatal(err)
	}
	told := 0
	impact, err := c.Impact(ctx, a, throw, src, func(done int) error { told = done; return nil })
	if err != nil || impact.Assessments != 30 || told != 30 || impact.Changed == 0 || impact.Refused != 0 {
		t.Fatalf("found %+v after %d, %v", impact, told, err)
	}
	before := bodies(t, c, a)
	v := edit(t, c, a, "stride-off-line", 13)
	if _, err := reassessed(c, a, v.Document.Version); err != nil {
		t.Fatal(err)
	}
	changed := 0
	for player, now := range bodies(t, c, a) {
		if verdictOf(before[player]) != verdictOf(now) {
			changed++
		}
	}
	want := 0
	for _, f := range impact.Faults {
		if f.Fault == "stride-off-line" {
			want += f.Count
		}
	}
	if changed != want || want == 0 {
		t.Errorf("%d verdicts of stride-off-line changed, %d were announced", changed, want)
	}
	if stop, err := c.Impact(ctx, a, throw, src, func(int) error { return errors.New("gone") }); err == nil {
		t.Errorf("whoever is told is gone, and it goes on: %+v", stop)
	}
}

func bodies(t testing.TB, c *club.Clubs, a club.Actor) map[string]string {
	t.Helper()
	out := map[string]string{}
	view(t, c, a, func(tx store.Tx) error {
		rows, err := tx.Assessments(ctx, store.AssessmentFilter{}, store.Page{})
		for _, row := range rows {
			out[row.PlayerRef] = string(row.Body)
		}
		return err
	})
	return out
}

func verdictOf(body string) string {
	_, rest, _ := strings.Cut(body, `"fault":"stride-off-line"`)
	_, rest, _ = strings.Cut(rest, `"verdict":"`)
	verdict, _, _ := strings.Cut(rest, `"`)
	return verdict
}

// A version judges from its effective date on, which begins at midnight in the
// club's time zone; until then the one before it.
func TestEffectiveDate(t *testing.T) {
	for _, z := range []struct{ name, before, from string }{
		{"UTC", "2026-05-09T23:59:00Z", "2026-05-10T00:00:00Z"},
		{"America/Los_Angeles", "2026-05-10T06:59:00Z", "2026-05-10T07:00:00Z"}, // UTC-7 in May (IANA time zone database)
		{"Pacific/Auckland", "2026-05-09T11:59:00Z", "2026-05-09T12:00:00Z"},    // UTC+12 in May
	} {
		t.Run(z.name, func(t *testing.T) {
			each(t, func(t *testing.T, c *club.Clubs) { effectiveDate(t, c, z.name, z.before, z.from) })
		})
	}
}

func effectiveDate(t *testing.T, c *club.Clubs, zone, before, from string) {
	at(t, c, before)
	a := member(t, c, "Harbour", "admin")
	settings(t, c, a, func(s *club.Settings) { s.TimeZone = zone })
	v, err := c.EditLimits(ctx, a, club.Edit{Name: throw, Limits: atMost("stride-off-line", 9), Base: 1, EffectiveFrom: "2026-05-10"})
	if err != nil || v.Document.Version != 2 {
		t.Fatalf("%+v, %v", v, err)
	}
	submitted := func(ref string) { // within the old limit, over the new one
		submit(t, c, a, club.NDJSON(strings.NewReader(doc(ref, "", rep(1, 11.8), rep(2, 11.8), rep(3, 11.8), rep(4, 11.8)))), nil)
	}
	impact := func(want int) {
		t.Helper()
		im, err := c.Impact(ctx, a, throw, v.Source, func(int) error { return nil })
		if err != nil || im.Changed != want {
			t.Errorf("%d of %d would change, wanted %d, %v", im.Changed, im.Assessments, want, err)
		}
	}
	submitted("P-before")
	impact(1)
	if n, err := c.ReassessSome(ctx, a, throw, 2, club.Progress{}, 100); err != nil || n.Done != 0 || n.Overtaken != 1 {
		t.Errorf("re-assessed by a version that is not in force yet: %+v, %v", n, err)
	}
	at(t, c, from)
	submitted("P-from")
	impact(1)
	judged, verdicts := map[string]int{}, map[string]string{}
	read := func() {
		view(t, c, a, func(tx store.Tx) error {
			rows, err := tx.Assessments(ctx, store.AssessmentFilter{}, store.Page{})
			for _, row := range rows {
				judged[row.PlayerRef], verdicts[row.PlayerRef] = row.RubricVersion, verdictOf(string(row.Body))
			}
			return err
		})
	}
	read()
	if judged["P-before"] != 1 || judged["P-from"] != 2 || verdicts["P-before"] == verdicts["P-from"] {
		t.Errorf("judged by version %v: %v", judged, verdicts)
	}
	if n, err := reassessed(c, a, 2); err != nil || n.Done != 1 || n.Kept != 1 {
		t.Errorf("re-assessed when the day has come: %+v, %v", n, err)
	}
	impact(0)
	// What is published without a date holds at once, whatever day UTC has.
	at(t, c, before)
	edit(t, c, a, "stride-off-line", 10)
	submitted("P-at-once")
	if read(); judged["P-at-once"] != 3 {
		t.Errorf("judged by version %v", judged)
	}
}

// A rubric that extends another means the same whatever becomes of the other.
func TestBaseStaysAsItWas(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "edit")
	limit := func(n int) float64 {
		v, err := club.New(c.Store).Rubric(ctx, a, "throw-to-third", n)
		if err != nil {
			t.Fatal(err)
		}
		return v.Rubric.Faults[v.Rubric.FaultNamed("tall-set")].Limit.Hi[1]
	}
	before := limit(1)
	edit(t, c, a, "tall-set", before+0.01)
	if got := limit(1); got != before {
		t.Errorf("the limit became %g, wanted %g as when it was published", got, before)
	}
	third, err := c.Rubric(ctx, a, "throw-to-third", 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := c.Publish(ctx, a, club.Publication{Name: "throw-to-third", Source: append(third.Source, "# again\n"...), Base: 1}); err != nil {
		t.Fatal(err)
	}
	if got := limit(2); got != before+0.01 {
		t.Errorf("published again the limit is %g, wanted %g", got, before+0.01)
	}
}

func TestPublishRefused(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "edit")
	now, err := c.Rubric(ctx, a, throw, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name string
		p    club.Publication
		code string // of a slip; "" for ErrChanged
	}{
		{"other base", club.Publication{Name: throw, Source: now.Source, Base: 2}, ""},
		{"as if new", club.Publication{Name: throw, Source: now.Source}, ""},
		{"no YAML", club.Publication{Name: throw, Source: []byte("["), Base: 1}, "not-yaml"},
		{"other name", club.Publication{Name: "mine", Source: now.Source}, "other-name"},
		{"example fails", club.Publication{Name: throw, Source: bytes.Replace(now.Source, []byte(`"11-12": 0.37`), []byte(`"11-12": 0.55`), 1), Base: 1}, "example-fails"},
		{"no date", club.Publication{Name: throw, Source: now.Source, Base: 1, EffectiveFrom: "soon"}, "bad-date"},
		{"long reason", club.Publication{Name: throw, Source: now.Source, Base: 1, Why: strings.Repeat("x", 2001)}, "too-long"},
	} {
		_, err := c.Publish(ctx, a, tt.p)
		var r *club.Refusal
		switch {
		case tt.code == "" && !errors.Is(err, club.ErrChanged):
			t.Errorf("%s: found %v, wanted ErrChanged", tt.name, err)
		case tt.code != "" && (!errors.As(err, &r) || !strings.Contains(fmt.Sprint(r.Slips), tt.code)):
			t.Errorf("%s: found %v, wanted a slip %s", tt.name, err, tt.code)
		}
	}
	if h, err := c.History(ctx, a, throw); err != nil || len(h.Versions) != 1 {
		t.Errorf("%d versions, %v: something refused was kept", len(h.Versions), err)
	}
}

func TestActivate(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "edit")
	edit(t, c, a, "tall-set", 0.38)
	if _, err := c.Activate(ctx, a, throw, 1, 1, ""); !errors.Is(err, club.ErrChanged) {
		t.Errorf("from a stale base: %v", err)
	}
	if _, err := c.Activate(ctx, a, throw, 9, 2, ""); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("a version that is not there: %v", err)
	}
	if v, err := c.Activate(ctx, a, throw, 1, 2, "too strict"); err != nil || v.Document.Version != 1 {
		t.Fatalf("%v, %v", v, err)
	}
	if v := edit(t, c, a, "tall-set", 0.39); v.Document.Version != 3 {
		t.Errorf("after going back the next version is %d, wanted 3", v.Document.Version)
	}
}

// broken is a store whose next transaction fails when all in it is done.
type broken struct {
	store.Store
	fails bool
}

func (b *broken) InTx(ctx context.Context, club string, fn func(store.Tx) error) error {
	return b.Store.InTx(ctx, club, func(tx store.Tx) error {
		if err := fn(tx); err != nil || !b.fails {
			return err
		}
		return store.ErrUnavailable
	})
}

// A version that was never stored, or a buffer that its sender uses again,
// leaves nothing behind by which anything is judged.
func TestOnlyStoredVersionsAreKept(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		a := member(t, c, "Harbour", "edit")
		db := &broken{c.Store, true}
		c = club.New(db)
		now, err := c.Rubric(ctx, a, throw, 0)
		if err != nil {
			t.Fatal(err)
		}
		publish := func(note string) ([]byte, error) {
			src := append(bytes.Clone(now.Source), "# "+note+"\n"...)
			sent := bytes.Clone(src)
			_, err := c.Publish(ctx, a, club.Publication{Name: throw, Source: sent, Base: 1, Why: "a test"})
			copy(sent, "something else")
			return src, err
		}
		if _, err := publish("lost"); !errors.Is(err, store.ErrUnavailable) {
			t.Fatalf("published in a transaction that failed: %v", err)
		}
		db.fails = false
		want, err := publish("kept")
		if err != nil {
			t.Fatal(err)
		}
		got, err := c.Rubric(ctx, a, throw, 2)
		if err != nil || !bytes.Equal(got.Source, want) || got.Rubric.SHA256 != got.Document.SHA256 {
			t.Errorf("version 2 is another file than was published (%v): %s", err, cmp.Diff(string(want), string(got.Source)))
		}
	})
}

// deaf is a store whose observations cannot be read.
type deaf struct{ store.Store }

// InTx implements store.Store.
func (d deaf) InTx(ctx context.Context, id string, fn func(store.Tx) error) error {
	return d.Store.InTx(ctx, id, func(tx store.Tx) error { return fn(deafTx{tx}) })
}

type deafTx struct{ store.Tx }

// ObservationsByID implements store.Observations.
func (deafTx) ObservationsByID(context.Context, []string) (map[string]store.Observation, error) {
	return nil, store.ErrUnavailable
}

// A part of a re-assessment that cannot be begun is an error, and nothing is
// said to be done.
func TestReassessWithoutTheDatabase(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "edit")
	submit(t, c, a, club.NDJSON(strings.NewReader(doc("P-1", "", rep(1, 20)))), nil)
	v := edit(t, c, a, "stride-off-line", 12)
	c.Store = deaf{c.Store}
	if p, err := c.ReassessSome(ctx, a, throw, v.Document.Version, club.Progress{}, 100); !errors.Is(err, store.ErrUnavailable) || p.Done+p.Kept+p.Refused != 0 {
		t.Errorf("found %+v, %v", p, err)
	}
}

// A version that was gone back from judges nothing any more, also while a later
// one waits for its day; to give a file another day counts.
func TestRolledBackStaysSo(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, "2026-05-09T12:00:00Z")
		a := member(t, c, "Harbour", "edit")
		edit(t, c, a, "stride-off-line", 11) // version 2, a mistake
		activate := func(version, base int) {
			t.Helper()
			if _, err := c.Activate(ctx, a, throw, version, base, "a mistake"); err != nil {
				t.Fatal(err)
			}
		}
		activate(1, 2)
		src, err := c.Edited(ctx, a, throw, atMost("stride-off-line", 12.5))
		if err != nil {
			t.Fatal(err)
		}
		publish := func(base int, from string, want int) {
			t.Helper()
			v, err := c.Publish(ctx, a, club.Publication{Name: throw, Source: src, Base: base, EffectiveFrom: from})
			if err != nil || v.Document.Version != want || v.EffectiveFrom != from {
				t.Fatalf("published %+v, %v, wanted version %d", v, err, want)
			}
		}
		judged := func(day string, want int, limit float64) {
			t.Helper()
			at(t, c, day+"T12:00:00Z")
			lines, _ := submit(t, c, a, club.NDJSON(strings.NewReader(doc("P-"+day, "", rep(1, 8)))), nil)
			_, row, err := c.Assessment(ctx, a, lines[0].Assessment)
			if err != nil || row.RubricVersion != want {
				t.Errorf("on %s version %d judges, wanted %d, %v", day, row.RubricVersion, want, err)
			}
			if found := fmt.Sprintf(`"limit":{"at_most":%g}`, limit); !strings.Contains(string(row.Body), found) {
				t.Errorf("on %s the limit is not %g", day, limit)
			}
		}
		publish(1, "2026-06-01", 4) // version 3 is 1 again
		judged("2026-05-09", 3, 12)
		publish(4, "2026-06-01", 4) // the same once more
		publish(4, "2026-05-20", 5)
		judged("2026-05-10", 3, 12)
		judged("2026-05-20", 5, 12.5)
		activate(1, 5)
		judged("2026-06-02", 1, 12)
	})
}

// What extends a rubric extends the version in use on its first day: none that
// was gone back from, none that waits for a later day. So it is announced, too.
func TestBaseInUse(t *testing.T) {
	c := embedded(t)
	at(t, c, "2026-05-09T12:00:00Z")
	a := member(t, c, "Harbour", "edit")
	submit(t, c, a, club.NDJSON(strings.NewReader(strings.Replace(doc("P-1", "", rep(1, 8)), throw, "throw-to-third", 1))), nil)
	third, err := c.Rubric(ctx, a, "throw-to-third", 0)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	limit := func(from string, want float64) {
		t.Helper()
		base := third.Document.Version
		third, err = c.Publish(ctx, a, club.Publication{Name: "throw-to-third", Source: fmt.Appendf(nil, "%s# %d\n", third.Source, n), Base: base, EffectiveFrom: from})
		if n++; err != nil {
			t.Fatal(err)
		}
		for _, v := range []func() (*club.Version, error){
			func() (*club.Version, error) { return third, nil },
			func() (*club.Version, error) {
				return club.New(c.Store).Rubric(ctx, a, "throw-to-third", third.Document.Version)
			},
		} {
			is, err := v()
			if err != nil {
				t.Fatal(err)
			}
			if got := is.Rubric.Faults[is.Rubric.FaultNamed("tall-set")].Limit.Hi[1]; got != want {
				t.Errorf("from %s the limit is %g, wanted %g", from, got, want)
			}
		}
	}
	was := third.Rubric.Faults[third.Rubric.FaultNamed("tall-set")].Limit.Hi[1]
	limit("2026-05-09", was)
	edit(t, c, a, "tall-set", was+0.01)
	if _, err := c.Activate(ctx, a, throw, 1, 2, "a mistake"); err != nil {
		t.Fatal(err)
	}
	im, err := c.Impact(ctx, a, "throw-to-third", third.Source, func(int) error { return nil })
	if err != nil || im.Changed != 0 {
		t.Errorf("it would change %+v, %v", im, err)
	}
	limit("2026-05-09", was) // the base's version 3 is 1 again
	if _, err := c.EditLimits(ctx, a, club.Edit{Name: throw, Limits: atMost("tall-set", was+0.01), Base: 3, EffectiveFrom: "2026-06-01"}); err != nil {
		t.Fatal(err)
	}
	limit("2026-05-31", was)
	limit("2026-06-01", was+0.01)
}

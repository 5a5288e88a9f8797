package club_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

// A key of role read sees no stature, in no form.
func TestLimited(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "submit")
	website := member(t, c, "Harbour", "read")
	lines, _ := submit(t, c, a, club.NDJSON(strings.NewReader(doc("P-1", "", rep(1, 20))+"\n"+strings.Replace(doc("P-2", "", rep(1, 20)), `, "stature_cm": 151`, "", 1))), nil)
	for _, l := range lines {
		full, _, err := c.Assessment(ctx, a, l.Assessment)
		if err != nil {
			t.Fatal(err)
		}
		less, _, err := c.Assessment(ctx, website, l.Assessment)
		if err != nil {
			t.Fatal(err)
		}
		var was, is map[string]json.RawMessage
		if err := errors.Join(json.Unmarshal(full, &was), json.Unmarshal(less, &is)); err != nil {
			t.Fatal(err)
		}
		if len(was) != len(is) || string(was["findings"]) != string(is["findings"]) || string(was["work_on"]) != string(is["work_on"]) {
			t.Error("more than the stature is missing")
		}
		if !strings.Contains(string(is["player"]), `"stature_m":null`) || strings.Contains(string(is["notes"]), "stature") {
			t.Errorf("the stature can be read: %s %s", is["player"], is["notes"])
		}
	}
	list, err := c.Assessments(ctx, website, store.AssessmentFilter{}, "", 10)
	if err != nil || len(list.Items) != 2 {
		t.Fatalf("%d items, %v", len(list.Items), err)
	}
	for _, item := range list.Items {
		if !strings.Contains(string(item), `"stature_m":null`) {
			t.Errorf("the list tells a stature: %.300s", item)
		}
	}
}

// Pages follow each other without gap or repetition, whatever their size.
func TestPages(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "edit")
	var docs []string
	for i := range 23 {
		docs = append(docs, doc(fmt.Sprintf("P-%02d", i), "", rep(1, 20)))
	}
	submit(t, c, a, club.NDJSON(strings.NewReader(strings.Join(docs, "\n"))), nil)
	for _, size := range []int{1, 5, 22, 23, 24} {
		seen := walk(t, size, func(cursor string, limit int) ([]string, string, error) {
			l, err := c.Assessments(ctx, a, store.AssessmentFilter{Rubric: throw}, cursor, limit)
			var ids []string
			for _, b := range l.Items {
				ids = append(ids, string(b[:60]))
			}
			return ids, l.Next, err
		})
		players := walk(t, size, func(cursor string, limit int) ([]string, string, error) {
			l, err := c.Players(ctx, a, "", cursor, limit)
			var refs []string
			for _, p := range l.Items {
				refs = append(refs, p.Ref)
			}
			return refs, l.Next, err
		})
		changes := walk(t, size, func(cursor string, limit int) ([]string, string, error) {
			l, err := c.Changes(ctx, a, cursor, limit)
			var seqs []string
			for _, ch := range l.Items {
				seqs = append(seqs, fmt.Sprint(ch.Seq))
			}
			return seqs, l.Next, err
		})
		if len(seen) != 23 || len(players) != 23 || len(changes) != 25 { // the club, its key, the observations
			t.Errorf("pages of %d: %d assessments, %d players, %d changes", size, len(seen), len(players), len(changes))
		}
	}
}

func walk(t testing.TB, size int, page func(string, int) ([]string, string, error)) map[string]bool {
	t.Helper()
	seen, cursor := map[string]bool{}, ""
	for {
		items, next, err := page(cursor, size)
		if err != nil || len(items) > size {
			t.Fatalf("%d items of %d, %v", len(items), size, err)
		}
		for _, i := range items {
			if seen[i] {
				t.Errorf("%s comes twice", i)
			}
			seen[i] = true
		}
		if cursor = next; next == "" {
			return seen
		}
	}
}

// A cursor is good for its own list, filter and club only.
func TestForgedCursors(t *testing.T) {
	c := embedded(t)
	a, other := member(t, c, "Harbour", "edit"), member(t, c, "Hillside", "edit")
	for _, who := range []club.Actor{a, other} {
		submit(t, c, who, club.NDJSON(strings.NewReader(doc("P-1", "", rep(1, 20))+"\n"+doc("P-2", "", rep(1, 20)))), nil)
	}
	l, err := c.Assessments(ctx, a, store.AssessmentFilter{Rubric: throw}, "", 1)
	if err != nil || l.Next == "" {
		t.Fatal(l.Next, err)
	}
	good := l.Next
	try := func(name string, who club.Actor, f store.AssessmentFilter, cursor string) {
		if _, err := c.Assessments(ctx, who, f, cursor, 1); !errors.Is(err, club.ErrBadCursor) {
			t.Errorf("%s: found %v, wanted ErrBadCursor", name, err)
		}
	}
	same := store.AssessmentFilter{Rubric: throw}
	try("another filter", a, store.AssessmentFilter{}, good)
	try("another club", other, same, good)
	try("longer", a, same, good+"A")
	try("cut", a, same, good[:len(good)-2])
	try("the first letter", a, same, flip(good[0])+good[1:])
	try("the last letter", a, same, good[:len(good)-1]+flip(good[len(good)-1]))
	try("no base64", a, same, "!!")
	try("a bare position", a, same, store.Cursor{On: "2026-05-09", ID: "x"}.String())
	if _, err := c.Changes(ctx, a, good, 1); !errors.Is(err, club.ErrBadCursor) {
		t.Errorf("another list: %v", err)
	}
	if _, err := c.Assessments(ctx, a, same, good, 1); err != nil {
		t.Errorf("the good one: %v", err)
	}
}

package club

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"rootcue/engine/rubric"
	"rootcue/internal/store/sqlstore"
)

// What was judged ahead holds only as long as nothing it rests on has changed.
func TestJudgedAhead(t *testing.T) {
	ctx := t.Context()
	db, err := sqlstore.Open(ctx, filepath.Join(t.TempDir(), "club.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.Migrate(ctx); err != nil {
		t.Fatal(err)
	}
	c := New(db)
	_, secret, err := c.AddFirstKey(ctx, "Harbour", NewKey{Role: "admin"})
	if err != nil {
		t.Fatal(err)
	}
	id, key, err := c.Authenticate(ctx, secret)
	if err != nil {
		t.Fatal(err)
	}
	a := Actor{Club: id, KeyID: key.ID, Health: true, Admin: true}
	doc := func(player, session string, n int) string {
		return fmt.Sprintf(`{"rubric": "throw-to-second", "player": {"ref": %q, "age": 12, "stature_cm": 151}, "on": "2026-05-09", "session": %q, "reps": [{"rep": %d, "measures": {"stride_off_line": 20}}]}`, player, session, n)
	}
	send := func(doc string) error {
		src, _, err := JSON([]byte(doc))
		if err == nil {
			_, err = c.Submit(ctx, a, src, func([]Line) error { return nil })
		}
		return err
	}
	for n, tt := range []struct {
		name      string
		meanwhile func(player string) error
		status    string
		holds     bool
		says      string
	}{
		{"nothing", func(string) error { return nil }, Stored, true, `"reps":1,`},
		{"others", func(player string) error { return send(doc(player+"b", "s", 1)) }, Stored, true, `"reps":1,`},
		{"the same document", func(player string) error { return send(doc(player, "s", 1)) }, Same, false, ""},
		{"another rep of the session", func(player string) error { return send(doc(player, "s", 2)) }, Stored, false, `"reps":2,`},
		{"pain", func(player string) error {
			_, err := c.AddThrows(ctx, a, player, []byte(`{"date": "2026-05-09", "kind": "pain", "note": "elbow"}`), false)
			return err
		}, Stored, false, `"pain-reported"`},
		{"a limit", func(string) error {
			limit := 14.0
			_, err := c.EditLimits(ctx, a, Edit{Name: "throw-to-second", Base: 1, Why: "a test", Limits: []rubric.LimitEdit{{Fault: "stride-off-line", Band: "11-12", AtMost: &limit}}})
			return err
		}, Stored, false, `"version":2,`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			player := fmt.Sprint("P-", n)
			parts, err := c.prepare(ctx, a, []Entry{{Lines: []int{1}, Doc: []byte(doc(player, "s", 1))}})
			if err != nil {
				t.Fatal(err)
			}
			if err := c.judgeAhead(ctx, a, parts); err != nil {
				t.Fatal(err)
			}
			ahead := parts[0].assessment.ID
			if err := tt.meanwhile(player); err != nil {
				t.Fatal(err)
			}
			lines, rest, err := c.submit(ctx, a, parts)
			if err != nil || len(rest) > 0 || lines[0].Status != tt.status || (lines[0].Assessment == ahead) != tt.holds {
				t.Fatalf("found %+v, %v; judged ahead as %s, wanted %s", lines, err, ahead, tt.status)
			}
			_, kept, err := c.Assessment(ctx, a, lines[0].Assessment)
			if err != nil || !strings.Contains(string(kept.Body), tt.says) {
				t.Errorf("wanted %s in %s (%v)", tt.says, kept.Body, err)
			}
		})
	}
}

package store_test

import (
	"database/sql/driver"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"rootcue/internal/store"
)

func TestTime(t *testing.T) {
	eastern := time.FixedZone("EST", -5*3600)
	at := store.At(time.Date(2026, 5, 9, 22, 30, 1, 123456789, eastern))
	if got, want := at.String(), "2026-05-10T03:30:01.123456Z"; got != want {
		t.Errorf("found %s, want %s", got, want)
	}
	if got, want := at.Date(), "2026-05-10"; got != want {
		t.Errorf("found %s, want %s", got, want)
	}
	raw, err := json.Marshal(at)
	if err != nil || string(raw) != `"2026-05-10T03:30:01.123456Z"` {
		t.Errorf("found %s %v, want RFC 3339", raw, err)
	}
	for _, bad := range []any{"2026-05-10", "", 5, nil, time.Now()} {
		if err := new(store.Time).Scan(bad); err == nil {
			t.Errorf("%v: want an error", bad)
		}
	}
}

// What is kept comes back the same, and sorts as text as the times do.
func TestTimeKept(t *testing.T) {
	moment := rapid.Custom(func(t *rapid.T) store.Time {
		return store.At(time.Unix(rapid.Int64Range(0, 253402300799).Draw(t, "s"), rapid.Int64Range(0, 999999999).Draw(t, "ns")))
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b := moment.Draw(t, "a"), moment.Draw(t, "b")
		text, err := a.Value()
		if err != nil {
			t.Fatal(err)
		}
		var back store.Time
		if err := back.Scan(text); err != nil || !back.Equal(a.Time) {
			t.Fatalf("%v came back as %v %v", a, back, err)
		}
		if (a.String() < b.String()) != a.Before(b.Time) {
			t.Fatalf("%v and %v sort otherwise as text", a, b)
		}
	})
}

func TestJSON(t *testing.T) {
	for _, c := range []struct {
		in   store.JSON
		kept string
		ok   bool
	}{
		{nil, "{}", true}, {store.JSON(`[1, 2]`), `[1, 2]`, true}, {store.JSON(`{"a":1}`), `{"a":1}`, true},
		{store.JSON(`{`), "", false}, {store.JSON(`{} {}`), "", false}, {store.JSON(strings.Repeat("x", 1000)), "", false},
	} {
		kept, err := c.in.Value()
		if c.ok && (err != nil || kept != c.kept) {
			t.Errorf("%s: found %v %v, want %s", c.in, kept, err, c.kept)
		}
		if !c.ok && (!errors.Is(err, store.ErrInvalid) || len(err.Error()) > 200) {
			t.Errorf("%.20s: found %.300v, want a short ErrInvalid", c.in, err)
		}
	}
	whole, err := json.Marshal(struct {
		A store.JSON
		B store.Body
		C store.Body
		D store.JSON
	}{store.JSON(`{"x":1}`), store.Body(`[2]`), store.Body("a: b\n"), nil})
	if want := `{"A":{"x":1},"B":[2],"C":"a: b\n","D":{}}`; err != nil || string(whole) != want {
		t.Errorf("found %s %v, want %s", whole, err, want)
	}
}

func TestListsAndMeasures(t *testing.T) {
	for _, c := range []struct {
		in   interface{ Scan(any) error }
		kept string
		want string
		err  bool
	}{
		{new(store.Strings), `["u12","a \"b\""]`, `["u12","a \"b\""]`, false},
		{new(store.Strings), `[]`, `[]`, false},
		{new(store.Strings), `{}`, ``, true},
		{new(store.Measures), `{"pop_time":{"value":2.05,"u":0.06,"unit":"s","reps":3}}`, `{"pop_time":{"value":2.05,"u":0.06,"unit":"s","reps":3}}`, false},
		{new(store.Measures), `[`, ``, true},
	} {
		err := c.in.Scan([]byte(c.kept))
		if (err != nil) != c.err {
			t.Errorf("%s: found error %v, want %v", c.kept, err, c.err)
			continue
		}
		if c.err {
			continue
		}
		if got, err := json.Marshal(c.in); err != nil || string(got) != c.want {
			t.Errorf("found %s %v, want %s", got, err, c.want)
		}
	}
	for want, in := range map[string]driver.Valuer{
		`[]`: store.Strings(nil), `["a"]`: store.Strings{"a"}, `{}`: store.Measures(nil),
		`{"x":{"value":1,"u":0,"unit":"cm","reps":1}}`: store.Measures{"x": {Value: 1, Unit: "cm", Reps: 1}},
	} {
		if got, err := in.Value(); err != nil || got != want {
			t.Errorf("found %v %v, want %s", got, err, want)
		}
	}
	if _, err := (store.Measures{"x": {Value: math.NaN()}}).Value(); !errors.Is(err, store.ErrInvalid) {
		t.Errorf("NaN: found %v, want ErrInvalid", err)
	}
}

func TestCursor(t *testing.T) {
	for _, c := range []store.Cursor{{}, {On: "2026-05-09", ID: "0197-a"}, {On: "2026-05-09", ID: "with a blank"}} {
		back, err := store.ParseCursor(c.String())
		if diff := cmp.Diff(c, back); err != nil || diff != "" {
			t.Errorf("%v: %v %s", c, err, diff)
		}
	}
	for _, bad := range []string{"x", "!!", "MjAyNg", " ", "IGE", "YSA", strings.Repeat("A", 9999)} {
		if _, err := store.ParseCursor(bad); !errors.Is(err, store.ErrInvalid) || len(err.Error()) > 300 {
			t.Errorf("%.20q: found %.300v, want a short ErrInvalid", bad, err)
		}
	}
}

func TestIDs(t *testing.T) {
	last := ""
	for range 1000 { // UUIDv7 sorts by the time it was made, RFC 9562 section 5.7
		id := store.NewID()
		if id <= last || len(id) != 36 || id[14] != '7' {
			t.Fatalf("found %s after %s", id, last)
		}
		last = id
	}
	if s := store.NewSurrogate(); len(s) != 36 || s[14] != '4' {
		t.Fatalf("found %s, want a UUIDv4", s)
	}
}

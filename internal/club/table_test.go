package club_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/internal/club"
)

// table reads a table whole.
func table(t testing.TB, text string) ([]club.Entry, error) {
	t.Helper()
	src, err := club.CSV(strings.NewReader(text), throw)
	if err != nil {
		return nil, err
	}
	var all []club.Entry
	for {
		e, err := src.Next()
		if err == io.EOF {
			return all, nil
		}
		if err != nil {
			return all, err
		}
		all = append(all, e)
	}
}

const head = "player,age,on,rep,stride_off_line [deg],mitt_open,batter\n"

func TestTable(t *testing.T) {
	const one = `{"on":"2026-05-09","player":{"age":12,"ref":"P-1"},"reps":[%s],"rubric":"throw-to-second"}`
	for _, tt := range []struct {
		name, text string
		lines      [][]int
		docs       []string // of the first entry; canonical, reps left to the table
	}{
		{"a row", head + "P-1,12,2026-05-09,1,20,yes,none\n", [][]int{{2}}, []string{`{"conditions":{"batter":"none"},"measures":{"mitt_open":true,"stride_off_line":{"unit":"deg","value":20}},"rep":1}`}},
		{"no line end", head + "P-1,12,2026-05-09,1,20,,", [][]int{{2}}, []string{`{"measures":{"stride_off_line":{"unit":"deg","value":20}},"rep":1}`}},
		{"two reps", head + "P-1,12,2026-05-09,1,20,,\nP-1,12,2026-05-09,2,21,,\n", [][]int{{2, 3}}, nil},
		{"a blank line between", head + "P-1,12,2026-05-09,1,20,,\n,,,,,,\n\nP-1,12,2026-05-09,2,21,,\n", [][]int{{2, 5}}, nil},
		{"the rep again is another", head + "P-1,12,2026-05-09,1,20,,\nP-1,12,2026-05-09,1,21,,\n", [][]int{{2}, {3}}, nil},
		{"another player", head + "P-1,12,2026-05-09,1,20,,\nP-2,12,2026-05-09,1,21,,\nP-1,12,2026-05-09,2,21,,\n", [][]int{{2}, {3}, {4}}, nil},
		{"numbered by themselves", "player,age,on,stride_off_line\nP-1,12,2026-05-09,3\nP-1,12,2026-05-09,4\n", [][]int{{2, 3}}, []string{`{"measures":{"stride_off_line":3},"rep":1}`, `{"measures":{"stride_off_line":4},"rep":2}`}},
		{"byte-order mark, semicolons, carriage returns", "\ufeffplayer;age;on;rep;stride_off_line [deg]\r\nP-1;12;2026-05-09;1;20,5\r\n", [][]int{{2}}, []string{`{"measures":{"stride_off_line":{"unit":"deg","value":20.5}},"rep":1}`}},
		{"tabs", "player\tage\ton\tstride_off_line\nP-1\t12\t2026-05-09\t3\n", [][]int{{2}}, nil},
		{"quotes", "player,age,on,rep,clip\nP-1,12,2026-05-09,1,\"cam \"\"1\"\", take 2\"\n", [][]int{{2}}, []string{`{"clip":"cam \"1\", take 2","rep":1}`}},
		{"held", "player,age,on,rep,held\nP-1,12,2026-05-09,1,late-feet tall-set\n", [][]int{{2}}, []string{`{"held":["late-feet","tall-set"],"rep":1}`}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			all, err := table(t, tt.text)
			if err != nil {
				t.Fatal(err)
			}
			var lines [][]int
			for _, e := range all {
				lines = append(lines, e.Lines)
				for _, r := range e.Rows {
					t.Errorf("line %d is refused: %+v", r.Line, r.Slips)
				}
			}
			if diff := cmp.Diff(tt.lines, lines); diff != "" {
				t.Errorf("lines, found + and not -:\n%s", diff)
			}
			if tt.docs != nil && string(canonical(t, all[0].Doc)) != fmt.Sprintf(one, strings.Join(tt.docs, ",")) {
				t.Errorf("found %s", canonical(t, all[0].Doc))
			}
		})
	}
}

// Each bad cell is told with line and column, and what to do.
func TestTableRefuses(t *testing.T) {
	for _, tt := range []struct{ name, row, code, column, hint string }{
		{"Excel's date", "P-1,12,5/9/2026,1,20,,", "bad-date", "8", "taken for each other"},
		{"a named date", "P-1,12,9-May-26,1,20,,", "bad-date", "8", "taken for each other"},
		{"a day count", "P-1,12,46151,1,20,,", "bad-date", "8", "day count"},
		{"a date in place of a number", "P-1,12,2026-05-09,1,2-Jan,,", "bad-number", "21", "made a date"},
		{"a number made a date", "P-1,12,2026-05-09,1,1/2/2026,,", "bad-number", "21", "made a date"},
		{"a unit", "P-1,12,2026-05-09,1,20 deg,,", "bad-number", "21", "[deg]"},
		{"thousands", `P-1,12,2026-05-09,1,"1.234,5",,`, "bad-number", "21", "thousands"},
		{"hexadecimal", "P-1,12,2026-05-09,1,0x14,,", "bad-number", "21", ""},
		{"not a number", "P-1,12,2026-05-09,1,NaN,,", "bad-number", "21", ""},
		{"infinite", "P-1,12,2026-05-09,1,Inf,,", "bad-number", "21", ""},
		{"too large", "P-1,12,2026-05-09,1,1e999,,", "bad-number", "21", ""},
		{"decimal comma between commas", "P-1,12,2026-05-09,1,20,5,yes,none", "too-many-cells", "30", "semicolons"},
		{"maybe", "P-1,12,2026-05-09,1,20,maybe,", "bad-value", "24", ""},
		{"rep zero", "P-1,12,2026-05-09,0,20,,", "bad-number", "19", ""},
		{"open quote", `P-1,12,2026-05-09,1,"20,,`, "quote-open", "21", "one line"},
		{"not UTF-8", "P-\xe4,12,2026-05-09,1,20,,", "not-utf8", "1", "UTF-8"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			all, err := table(t, head+tt.row+"\nP-2,12,2026-05-09,1,20,,\n")
			if err != nil {
				t.Fatal(err)
			}
			var refused []club.Line
			good := 0
			for _, e := range all {
				refused = append(refused, e.Rows...)
				good += len(e.Lines)
			}
			if good != 1 || len(refused) != 1 || refused[0].Line != 2 {
				t.Fatalf("%d good lines, refused %+v", good, refused)
			}
			s := refused[0].Slips[0]
			if s.Code != tt.code || s.Line != 2 || fmt.Sprint(s.Column) != tt.column || !strings.Contains(s.Hint, tt.hint) || s.Found == "" || s.Wanted == "" {
				t.Errorf("found %+v, wanted %s at 2:%s", s, tt.code, tt.column)
			}
		})
	}
}

func TestTableHeaderRefuses(t *testing.T) {
	for _, tt := range []struct{ text, code string }{
		{"", "empty"}, {"player,age\n", "missing-column"}, {"player,on,player\n", "repeated-column"}, {"player,on,\"age\n", "quote-open"},
		{"player,on,x [parsec]\n", "unknown-unit"}, {"player,on,Größe\n", "bad-column"}, {"player,on,,age\n", "bad-column"}, {"\xff\xfep\x00l\x00", "not-utf8"},
		{strings.Repeat("x", club.MaxDocument+1), "too-long"},
	} {
		_, err := table(t, tt.text)
		var r *club.Refusal
		if !errors.As(err, &r) || r.Slips[0].Code != tt.code {
			t.Errorf("%.30q: found %v, wanted %s", tt.text, err, tt.code)
		}
	}
}

// A slip that only the rubric shows refuses its own row; the others of the
// observation are stored.
func TestTableRowsAreSifted(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "submit")
	const text = head + "P-1,12,2026-05-09,1,20,,\nP-1,12,2026-05-09,2,200,,\nP-1,12,2026-05-09,3,21,,left\nP-1,12,2026-05-09,4,22,,sideways\nP-2,12,2026-05-09,1,200,,\nP-3,,2026-05-09,1,20,,\n"
	src, err := club.CSV(strings.NewReader(text), throw)
	lines, done := submit(t, c, a, src, err)
	want := []string{"2 stored", "3 refused", "4 stored", "5 refused", "6 refused", "7 refused"}
	if diff := cmp.Diff(want, statuses(lines)); diff != "" {
		t.Fatalf("found + and not -:\n%s\n%+v", diff, lines)
	}
	if done != (club.Done{Stored: 2, Refused: 4}) || lines[0].Observation != lines[2].Observation {
		t.Errorf("%+v; %+v", done, lines)
	}
	for at, place := range map[int]string{1: "3:21", 3: "5:25", 4: "6:21"} {
		if s := lines[at].Slips[0]; fmt.Sprintf("%d:%d", s.Line, s.Column) != place {
			t.Errorf("line %d is refused at %d:%d, wanted %s", lines[at].Line, s.Line, s.Column, place)
		}
	}
}

// A line of 10 MB is told and passed over; what comes after it is read.
func TestLongLines(t *testing.T) {
	long := strings.Repeat("x", 10<<20)
	all, err := table(t, head+long+"\nP-2,12,2026-05-09,1,20,,\n")
	if err != nil || len(all) != 1 || len(all[0].Rows) != 1 || all[0].Rows[0].Slips[0].Code != "too-long" || all[0].Lines[0] != 3 {
		t.Errorf("found %+v, %v", all, err)
	}
	c := embedded(t)
	a := member(t, c, "Harbour", "submit")
	lines, _ := submit(t, c, a, club.NDJSON(strings.NewReader(long+"\n"+doc("P-1", "", rep(1, 12)))), nil)
	if diff := cmp.Diff([]string{"1 refused", "2 stored"}, statuses(lines)); diff != "" {
		t.Error(diff)
	}
}

// A reader that breaks off after good lines leaves those stored.
func TestBrokenOff(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "submit")
	broken := errors.New("the line is dead")
	src := club.NDJSON(io.MultiReader(strings.NewReader(doc("P-1", "", rep(1, 12))+"\n"), failing{broken}))
	done, err := c.Submit(ctx, a, src, func([]club.Line) error { return nil })
	if !errors.Is(err, broken) || done.Stored != 1 {
		t.Errorf("found %+v, %v", done, err)
	}
	if n := len(bodies(t, c, a)); n != 1 {
		t.Errorf("%d assessments, wanted 1", n)
	}
	gone := errors.New("the client is gone")
	if _, err := c.Submit(ctx, a, club.NDJSON(endless{}), func([]club.Line) error { return gone }); !errors.Is(err, gone) {
		t.Errorf("found %v, wanted %v", err, gone)
	}
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

// endless never runs out of bad lines.
type endless struct{}

func (endless) Read(b []byte) (int, error) { return copy(b, "nonsense\n"), nil }

// Memory does not grow with the input: twenty thousand bad lines and a hundred
// good ones pass through a few megabytes.
func TestMemoryIsFlat(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "submit")
	var text bytes.Buffer
	for i := range 20_000 {
		if i%200 == 0 {
			text.WriteString(doc(fmt.Sprint("P-", i), "", rep(1, 12)) + "\n")
			continue
		}
		text.WriteString(`{"rubric": "throw-to-second", "player": {"ref": "` + strings.Repeat("x", 300) + `"}}` + "\n")
	}
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	most := uint64(0)
	done, err := c.Submit(ctx, a, club.NDJSON(&text), func([]club.Line) error {
		runtime.ReadMemStats(&after)
		most = max(most, after.HeapInuse)
		return nil
	})
	if err != nil || done.Stored != 100 || done.Refused != 19_900 {
		t.Fatalf("%+v, %v", done, err)
	}
	if grown := int64(most) - int64(before.HeapInuse); grown > 100<<20 {
		t.Errorf("the heap grew by %d MiB", grown>>20)
	}
}

func TestTemplate(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "submit")
	list, err := c.Rubrics(ctx, a)
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range list {
		head := club.TemplateCSV(v.Rubric)
		if _, err := table(t, head); err != nil {
			t.Errorf("the template of %s cannot be read: %v\n%s", v.Name, err, head)
		}
		for i := range v.Rubric.Measures {
			m := &v.Rubric.Measures[i]
			if stated := m.Formula == nil && !m.BuiltIn; stated != strings.Contains(","+head, ","+m.Name) && !strings.Contains(head, m.Name+"_") {
				t.Errorf("%s: the template has %s: %v, wanted %v", v.Name, m.Name, !stated, stated)
			}
		}
	}
}

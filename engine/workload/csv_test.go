package workload_test

import (
	"fmt"
	"strings"
	"testing"

	"rootcue/engine/workload"
)

const header = "date,kind,count,game,pain,note,count_at_last_batter,where\n"

// Every kind of bad line, by place; the line is row 2 of the file.
func TestBadLines(t *testing.T) {
	for _, c := range []struct {
		line, code, found, hint string
		column                  int
		kept                    bool // the entry stays, its count unknown or counted
	}{
		{"2026-05-11,pitches,20", "future-date", "the date 2026-05-11", "ask about a later day", 1, false},
		{"2026-05-04,pitches,-5", "bad-count", `the count "-5"`, "taken as unknown", 20, true},
		{"2026-05-04,pitches,twenty", "bad-count", `the count "twenty"`, "taken as unknown", 20, true},
		{"2026-05-04,pitches,12.5", "bad-count", `the count "12.5"`, "", 20, true},
		{"2026-05-04,pitches,1000", "bad-count", `the count "1000"`, "", 20, true},
		{"2026-05-04,pitches,NaN", "bad-count", `the count "NaN"`, "", 20, true},
		{"2026-05-04,pitches,Inf", "bad-count", `the count "Inf"`, "", 20, true},
		{"2026-05-04,innings-caught,4/0", "bad-count", `the count "4/0"`, "", 27, true},
		{"2026-05-04,innings-caught,-1", "bad-count", `the count "-1"`, "", 27, true},
		{"2026-05-04,innings-caught,100", "bad-count", `the count "100"`, "", 27, true},
		{"2026-05-04,pitchs,20", "unknown-kind", `the kind "pitchs"`, `did you mean "pitches"?`, 12, false},
		{"2026-05-04,Pitch,20", "unknown-kind", `the kind "Pitch"`, `did you mean "pitches"?`, 12, false},
		{"2026-05-04,,20", "unknown-kind", "nothing for the kind", "", 12, false},
		{",pitches,20", "bad-date", "nothing for the date", "", 1, false},
		{"2026-02-30,pitches,20", "bad-date", `the date "2026-02-30"`, "", 1, false},
		{"5/4/2026,pitches,20", "bad-date", `the date "5/4/2026"`, "format the spreadsheet's column as YYYY-MM-DD", 1, false},
		{"04.05.2026,pitches,20", "bad-date", `the date "04.05.2026"`, "either way round", 1, false},
		{"46146,pitches,20", "bad-date", `the date "46146"`, "a spreadsheet's day number, 2026-05-04?", 1, false},
		{"2026-05-04T18:30:00Z,pitches,20", "bad-date", `the date "2026-05-04T18:30:00Z"`, "leave the time of day out: 2026-05-04", 1, false},
		{"2026-05-04,pitches,20,,,,30,", "out-of-range", "30 pitches before the last batter", "", 26, true},
		{"2026-05-04,pitches,20,,,,x,", "bad-count", `the count "x"`, "", 26, true},
		{"2026-05-04,pitches,20,,,bleu été,30,", "out-of-range", "30 pitches before the last batter", "", 34, true}, // characters, not bytes
		{"2026-05-04,cleared,,,,,,", "missing-value", "cleared without a note", "athletic trainer", 23, false},
		{`2026-05-04,pitches,20,,,say "when",,`, "not-csv", "text that cannot be read", "double the quote", 1, true},
		{"2026-05-04,pitches,20,1,,a,,red,more", "wrong-length", "9 fields", "put a note that holds a comma into quotes", 1, true},
	} {
		data := header + c.line + "\n2026-05-03,pitches,7\n"
		l, problems := workload.ReadCSV("l.csv", []byte(data), date(t, "2026-05-10"))
		if len(problems) != 1 {
			t.Errorf("%s: %d problems %v", c.line, len(problems), problems)
			continue
		}
		p := problems[0]
		if p.Code != c.code || p.File != "l.csv" || p.Line != 2 || !strings.HasPrefix(p.Found, c.found) || p.Wanted == "" || !strings.Contains(p.Hint, c.hint) {
			t.Errorf("%s: %+v", c.line, p)
		}
		if p.Column != c.column && c.code != "not-csv" {
			t.Errorf("%s: column %d, want %d", c.line, p.Column, c.column)
		}
		want, unread := 1, 1
		if c.kept {
			want, unread = 2, 0
		}
		if len(l.Entries) != want || len(l.Unread) != unread || l.Entries[len(l.Entries)-1].Line != 3 {
			t.Errorf("%s: kept %+v, unread %+v", c.line, l.Entries, l.Unread)
		}
	}
}

// A count that cannot be read is unknown, never zero; what could not be read is
// told in the totals.
func TestBadLinesInTheAnswer(t *testing.T) {
	on := date(t, "2026-05-05")
	l, problems := workload.ReadCSV("l.csv", []byte(header+"2026-05-04,pitches,-5\n2026-05-04,pitchs,5\n2026-05-01,long-toss,10\n"), on)
	a := workload.Judge(workload.Request{On: on, Age: 12, Ledger: l}, policies(t, "pitch-smart"))
	if len(problems) != 2 || brief(a.Pitching) != "unknown 2026-05-09 rest" || a.Totals.Season.Throws != 10 {
		t.Errorf("%d problems, %s, %+v", len(problems), brief(a.Pitching), a.Totals.Season)
	}
	var missing []string
	for _, m := range a.Totals.Missing {
		missing = append(missing, fmt.Sprintf("%d %s", m.Line, m.Says))
	}
	if got := strings.Join(missing, "; "); got != `2 the count is not known; 3 found the kind "pitchs"` {
		t.Errorf("missing: %s", got)
	}
	if level(a.Cautions, "ledger-incomplete") != workload.Watch {
		t.Errorf("cautions %v", a.Cautions)
	}
}

func TestTwoCountsForAGame(t *testing.T) {
	on := date(t, "2026-05-04")
	read := func(rows string) (workload.Ledger, int) {
		l, problems := workload.ReadCSV("l.csv", []byte(header+rows), on)
		for _, p := range problems {
			if p.Code != "two-counts" || p.Line != 3 || !strings.Contains(p.Found, "the first is in line 2") {
				t.Errorf("%+v", p)
			}
		}
		return l, len(problems)
	}
	l, n := read("2026-05-04,pitches,45,1,,,,\n2026-05-04,pitches,30,1,,,,\n")
	if v := workload.Judge(workload.Request{On: on, Age: 12, Ledger: l}, policies(t, "pitch-smart")).Pitching; n != 1 || brief(v) != "yes 10" {
		t.Errorf("%d problems, %s: both must count until it is put right", n, brief(v))
	}
	for name, rows := range map[string]string{
		"a doubleheader":        "2026-05-04,pitches,45,1,,,,\n2026-05-04,pitches,30,2,,,,\n",
		"two teams":             "2026-05-04,pitches,45,1,,,,red\n2026-05-04,pitches,30,1,,,,blue\n",
		"games without a label": "2026-05-04,pitches,45,,,,,\n2026-05-04,pitches,30,,,,,\n",
		"two days":              "2026-05-03,pitches,45,1,,,,\n2026-05-04,pitches,30,1,,,,\n",
		"innings of one game":   "2026-05-04,innings-caught,2,1,,,,\n2026-05-04,innings-caught,1,1,,,,\n",
	} {
		if _, n := read(rows); n != 0 {
			t.Errorf("%s: refused", name)
		}
	}
}

func TestCountsOfInnings(t *testing.T) {
	for in, want := range map[string]string{
		"4": "4", "4.0": "4", "4.1": "4 1/3", "4.2": "4 2/3", "0.1": "1/3", ".2": "2/3", "1/3": "1/3", "4 2/3": "4 2/3", "4+1/3": "4 1/3", "1/2": "0.5",
		"4.33": "4 1/3", "4.333": "4 1/3", "4.67": "4 2/3", "4.5": "4.5", "4.25": "4.25", "0": "0", "99": "99",
	} {
		l := ledger(t, "2026-05-04")
		l, problems := workload.ReadCSV("l.csv", []byte(header+"2026-05-04,innings-caught,"+in+"\n"), date(t, "2026-05-04"))
		if len(problems) > 0 || l.Entries[0].Count.String() != want {
			t.Errorf("%s innings: %s, %v; want %s", in, l.Entries[0].Count, problems, want)
		}
	}
}

func TestHeaders(t *testing.T) {
	on := date(t, "2026-05-10")
	row := "2026-05-04,pitches,20\n"
	for _, c := range []struct {
		name, data string
		codes      string
		entries    int
	}{
		{"three columns do", "date,kind,count\n" + row, "", 1},
		{"any order", "count,date,kind\n20,2026-05-04,pitches\n", "", 1},
		{"capitals and blanks", " Date , KIND,Count\n" + row, "", 1},
		{"a byte order mark", "\xef\xbb\xbfdate,kind,count\n" + row, "", 1},
		{"semicolons", "date;kind;count;note\n2026-05-04;pitches;20;cold, wet\n", "", 1},
		{"tabs", "date\tkind\tcount\n2026-05-04\tpitches\t20\n", "", 1},
		{"line ends of Windows", "date,kind,count\r\n2026-05-04,pitches,20\r\n\r\n", "", 1},
		{"blank lines", "date,kind,count\n\n,,\n" + row, "", 1},
		{"no line end", "date,kind,count\n2026-05-04,pitches,20", "", 1},
		{"quotes", "date,kind,count\n\"2026-05-04\",\"pitches\",\"20\"\n", "", 1},
		{"bytes that are not UTF-8", "date,kind,count,note\n2026-05-04,pitches,20,\xe9\n", "", 1},
		{"nothing", "", "empty", 0},
		{"no header", row, "unknown-column unknown-column unknown-column missing-column missing-column missing-column", 0},
		{"no count", "date,kind\n2026-05-04,pitches\n", "missing-column", 1},
		{"no kind", "date,count\n2026-05-04,20\n", "missing-column", 0},
		{"a misspelt count", "date,kind,cuont\n" + row, "unknown-column missing-column", 1},
		{"a column twice", "date,kind,count,count\n2026-05-04,pitches,20,30\n", "repeated-column", 1},
		{"a quote that does not close", "date,kind,count,note\n2026-05-04,pitches,20,\"oh\n2026-05-05,pitches,21,\n2026-05-06,pitches,22,\n", "not-csv", 3},
		{"and after blank lines", "date,kind,count,note\n\n\n2026-05-04,pitches,20,a\"b\n2026-05-05,pitches,21,\n", "not-csv", 2},
	} {
		l, problems := workload.ReadCSV("l.csv", []byte(c.data), on)
		var codes []string
		for _, p := range problems {
			codes = append(codes, p.Code)
		}
		if got := strings.Join(codes, " "); got != c.codes || len(l.Entries) != c.entries {
			t.Errorf("%s: %q, %d entries; want %q, %d", c.name, got, len(l.Entries), c.codes, c.entries)
		}
	}
}

// Line numbers stay those of the file after a line that cannot be read.
func TestLinesAfterABrokenOne(t *testing.T) {
	data := "date,kind,count,note\n2026-05-04,pitches,20,a \"b\"\n2026-05-05,pitches,21,\"two\nlines\"\n2026-05-06,pitchs,22,\n2026-05-07,pitches,23,\"x\n2026-05-08,pitchs,1,\n"
	l, problems := workload.ReadCSV("l.csv", []byte(data), date(t, "2026-05-10"))
	var at []string
	for _, p := range problems {
		at = append(at, fmt.Sprintf("%d %s", p.Line, p.Code))
	}
	if got := strings.Join(at, ", "); got != "2 not-csv, 5 unknown-kind, 6 not-csv, 7 unknown-kind" {
		t.Errorf("%s", got)
	}
	var lines []string
	for _, e := range l.Entries {
		lines = append(lines, fmt.Sprint(e.Line, " ", e.Count))
	}
	if got := strings.Join(lines, ", "); got != "2 20, 3 21, 6 23" {
		t.Errorf("kept %s", got)
	}
}

// A correction is a changed line: nothing of the first answer is kept, and a
// late entry counts as if it had always been there.
func TestCorrectionsAndLateEntries(t *testing.T) {
	p := policies(t, "pitch-smart")
	if got := brief(ask(t, p, 12, "2026-05-05", "2026-05-04 pitches 86").Pitching); got != "no 2026-05-09 rest" {
		t.Error(got)
	}
	if got := brief(ask(t, p, 12, "2026-05-05", "2026-05-04 pitches 16").Pitching); got != "yes 85" {
		t.Error(got)
	}
	if got := brief(ask(t, p, 12, "2026-05-05", "2026-05-04 pitches 16", "2026-05-05 long-toss 9", "2026-05-04 pitches 5 where=school").Pitching); got != "no 2026-05-06 rest" {
		t.Error(got)
	}
}

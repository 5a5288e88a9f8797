package panel

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestReadCSV(t *testing.T) {
	got, problems := ReadCSV("", []byte("\ufeffBib, evaluator,item,grade,look\r\n"+
		"14,E1,receiving,3.5,\r\n\r\n"+
		"14,E1,receiving,4,2\n"+
		"14,E2,hand-protected,Yes,\n"+
		`14,"Field 1, north",receiving,-.5e1,`+"\n"+
		"15,E2,hand-protected,no,1\n"+
		"15,E1,receiving,,\n"+
		",,,,\n"))
	want := []Grade{
		{Bib: "14", Evaluator: "E1", Item: "receiving", Value: 3.5},
		{Bib: "14", Evaluator: "E1", Item: "receiving", Look: 2, Value: 4},
		{Bib: "14", Evaluator: "E2", Item: "hand-protected", Value: 1, YesNo: true},
		{Bib: "14", Evaluator: "Field 1, north", Item: "receiving", Value: -5},
		{Bib: "15", Evaluator: "E2", Item: "hand-protected", Look: 1, YesNo: true},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if problems != nil {
		t.Errorf("problems: %+v", problems)
	}
}

func TestBadLinesAreReportedAndTheOthersKept(t *testing.T) {
	const header, good = "bib,evaluator,item,grade,look\n", "1,E1,arm,3,\n"
	for _, c := range []struct {
		name, line   string
		code         string
		column       int
		found, wants string
	}{
		{"no player", ",E1,arm,3,", "empty-field", 1, "no bib", "a bib"},
		{"no evaluator", "2,,arm,3,", "empty-field", 3, "no evaluator", "a evaluator"},
		{"no item", "2,E1, ,3,", "empty-field", 6, "no item", "a item"},
		{"a word for a grade", "2,E1,arm,good,", "bad-grade", 10, "good", "a number"},
		{"in a line with quotes", `2,"Évora, E",arm,good,`, "bad-grade", 18, "good", "a number"},
		{"not a number", "2,E1,arm,NaN,", "bad-grade", 10, "NaN", "a number"},
		{"hexadecimal", "2,E1,arm,0x10,", "bad-grade", 10, "0x10", "a number"},
		{"too large", "2,E1,arm,2e9,", "bad-grade", 10, "2e9", "1e9"},
		{"out of all range", "2,E1,arm,1e999,", "bad-grade", 10, "1e999", "1e9"},
		{"a look that is none", "2,E1,arm,3,0", "bad-look", 12, "0", "from 1"},
		{"half a look", "2,E1,arm,3,1.5", "bad-look", 12, "1.5", "whole"},
		{"decimal comma", "2,E1,arm,3,5,", "bad-line", 1, "6 fields", "5"},
		{"too few fields", "2,E1,arm", "bad-line", 1, "3 fields", "5"},
		{"open quote", `2,"E1,arm,3,`, "bad-line", 1, "quotes", "quotes"},
		{"not UTF-8", "2,E\xff,arm,3,", "bad-text", 1, "not UTF-8", "UTF-8"},
		{"yes among numbers", "2,E1,arm,yes,", "mixed-item", 10, "yes or no", "a number, as for arm in line 2"},
		{"twice", "1,E1,arm,4,1", "graded-twice", 1, "a second grade of player 1 by E1 on arm", "line 2 has it"},
	} {
		grades, problems := ReadCSV("grades.csv", []byte(header+good+c.line+"\n"+"3,E1,arm,5,\n"))
		if len(grades) != 2 || len(problems) != 1 {
			t.Errorf("%s: %d grades and %+v, want 2 and one problem", c.name, len(grades), problems)
			continue
		}
		p := problems[0]
		if p.File != "grades.csv" || p.Line != 3 || p.Code != c.code || p.Column != c.column || !strings.Contains(p.Found, c.found) || !strings.Contains(p.Wanted, c.wants) {
			t.Errorf("%s: got %+v", c.name, p)
		}
	}
}

func TestWithoutAUsableHeaderThereAreNoGrades(t *testing.T) {
	for _, c := range []struct{ name, file, code string }{
		{"nothing", "", "no-header"},
		{"blank lines", "\n\n", "no-header"},
		{"a column is missing", "bib,evaluator,item\n1,E1,arm\n", "missing-column"},
		{"an empty quote", "\"\"", "unknown-column"},
		{"a column too many", "bib,evaluator,item,grade,score\n", "unknown-column"},
		{"a column twice", "bib,bib,evaluator,item,grade\n", "unknown-column"},
		{"open quote", "\"bib,evaluator,item,grade\n1,E1,arm,3\n", "bad-line"},
		{"not UTF-8", "bib,evaluator,item,grad\xe9\n1,E1,arm,3\n", "bad-text"},
	} {
		grades, problems := ReadCSV("", []byte(c.file))
		if grades != nil || len(problems) == 0 || problems[0].Code != c.code || problems[0].Line < 1 {
			t.Errorf("%s: %d grades, %+v, want %s", c.name, len(grades), problems, c.code)
		}
	}
}

func FuzzReadCSV(f *testing.F) {
	f.Add([]byte("bib,evaluator,item,grade,look\n14,E1,arm,3.5,\n14,E2,arm,yes,2\n\"a\"\"b\",E1,x,1,\n"))
	f.Add([]byte("grade,item,evaluator,bib\r\nno,hand,E1,1\r\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		grades, problems := ReadCSV("", data)
		for _, p := range problems {
			if p.Code == "" || p.Found == "" || p.Wanted == "" || p.Line < 1 {
				t.Fatalf("a problem that does not say what is wrong: %+v", p)
			}
		}
		if len(grades) == 0 {
			return
		}
		// What was read is fit to be judged.
		if _, problems := Tryout(grades[:min(len(grades), 50)], Options{}); problems != nil {
			t.Fatalf("read without problem, refused by the tryout: %+v", problems)
		}
	})
}

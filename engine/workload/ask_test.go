package workload_test

import (
	"fmt"
	"strings"
	"testing"

	"rootcue/engine/civil"
	"rootcue/engine/workload"
)

func date(t testing.TB, s string) civil.Date {
	t.Helper()
	d, err := civil.Parse(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// ledger reads lines of date, kind, count and then column=value; "?" is a count
// left empty.
func ledger(t testing.TB, on string, lines ...string) workload.Ledger {
	t.Helper()
	var csv strings.Builder
	csv.WriteString("date,kind,count,game,pain,note,count_at_last_batter,where\n")
	for _, line := range lines {
		f := strings.Fields(line)
		cells := [8]string{f[0], f[1]}
		for _, rest := range f[2:] {
			column, value, named := strings.Cut(rest, "=")
			if !named {
				cells[2] = strings.Trim(rest, "?")
				continue
			}
			for i, c := range workload.Columns {
				if c == column {
					cells[i] = value
				}
			}
		}
		csv.WriteString(strings.Join(cells[:], ",") + "\n")
	}
	l, problems := workload.ReadCSV("ledger.csv", []byte(csv.String()), date(t, on))
	for _, p := range problems {
		t.Fatalf("line %d: found %s, wanted %s", p.Line, p.Found, p.Wanted)
	}
	return l
}

// ask judges a ledger by one or more policies.
func ask(t testing.TB, policies []*workload.Policy, age int, on string, lines ...string) workload.Answer {
	t.Helper()
	q := workload.Request{On: date(t, on), Age: age, Ledger: ledger(t, on, lines...)}
	if bad := q.Problems(policies); len(bad) > 0 {
		t.Fatalf("the request is not sound: %v", bad)
	}
	return workload.Judge(q, policies)
}

// brief writes a verdict as "no 2026-05-09 rest", "yes 17" or "no-rule".
func brief(v workload.Verdict) string {
	switch v.Answer {
	case workload.Yes:
		if v.Left == nil {
			return "yes"
		}
		return fmt.Sprintf("yes %d", *v.Left)
	case workload.NoRule:
		return v.Answer
	}
	next := "never"
	if v.NextDay != nil {
		next = v.NextDay.String()
	}
	return fmt.Sprintf("%s %s %s", v.Answer, next, v.Rule)
}

func policies(t testing.TB, names ...string) (list []*workload.Policy) {
	t.Helper()
	for _, n := range names {
		list = append(list, shipped(t, n))
	}
	return list
}

func parse(t testing.TB, yaml string) *workload.Policy {
	t.Helper()
	p, problems := workload.Parse("test.yaml", []byte(yaml))
	for _, problem := range problems {
		if !problem.Warning {
			t.Fatalf("%d:%d: found %s, wanted %s", problem.Line, problem.Column, problem.Found, problem.Wanted)
		}
	}
	return p
}

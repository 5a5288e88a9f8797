package workload_test

import (
	"testing"

	"rootcue/engine/workload"
)

// No ledger makes the reader or the rules panic, every line is either kept,
// reported or blank, and every problem has a place in the file.
func FuzzLedger(f *testing.F) {
	f.Add([]byte(header + "2026-05-04,pitches,68,1,no,a,60,red\n2026-05-05,pain,,,,,,\n"))
	f.Add([]byte("date;kind;count\n46146;pitchs;4,1\n\"x\n"))
	f.Add([]byte(header + "2026-05-04,innings-caught,4 1/3,,,\"a\nb\",,\n2024-02-29,time-off,400,,,,,\n"))
	f.Add([]byte("date,kind,count,date\n\n\n\"\"\"\n"))
	p := policies(f, "pitch-smart", "little-league", "elementary-throws")
	on := date(f, "2026-05-10")
	f.Fuzz(func(t *testing.T, data []byte) {
		l, problems := workload.ReadCSV("l.csv", data, on)
		for _, p := range problems {
			if p.Line < 1 || p.Column < 1 || p.Found == "" || p.Wanted == "" || p.Code == "" {
				t.Errorf("a problem without a place: %+v", p)
			}
		}
		for _, e := range l.Entries {
			hurt := e.Pain || e.Kind == workload.Pain || e.Kind == workload.Blow
			if e.Date.After(on) || !e.Date.Valid() && !(hurt && e.Date.IsZero()) || e.Line < 2 {
				t.Errorf("kept %+v", e)
			}
		}
		if len(l.Unread) > 0 && len(problems) == 0 {
			t.Errorf("lines left out in silence: %v", l.Unread)
		}
		a := workload.Judge(workload.Request{On: on, Age: 12, Ledger: l}, p)
		if len(a.Cautions) == 0 || a.Pitching.Says == "" {
			t.Errorf("%+v", a)
		}
	})
}

// No policy file makes the reader panic; one that is accepted can be used.
func FuzzPolicy(f *testing.F) {
	f.Add([]byte(good))
	f.Add([]byte(bound))
	f.Add([]byte("policy: x\npitching: [{ages: [0, 99], rest: []}]\nexamples: [{}]"))
	on := date(f, "2026-05-10")
	l := ledger(f, "2026-05-10", "2026-05-09 pitches 30", "2026-05-10 innings-caught 2", "2025-08-01 innings-pitched ?", "2026-01-01 time-off 40")
	f.Fuzz(func(t *testing.T, data []byte) {
		p, problems := workload.Parse("p.yaml", data)
		for _, problem := range problems {
			if problem.Line < 1 || problem.Column < 1 || problem.Wanted == "" {
				t.Errorf("a problem without a place: %+v", problem)
			}
		}
		if p == nil {
			if len(problems) == 0 {
				t.Error("refused in silence")
			}
			return
		}
		for _, age := range []int{0, 9, 12, 99} {
			a := workload.Judge(workload.Request{On: on, Age: age, Ledger: l}, []*workload.Policy{p})
			if a.Pitching.Answer == workload.No && *a.Pitching.Left != 0 {
				t.Errorf("%+v", a.Pitching)
			}
		}
	})
}

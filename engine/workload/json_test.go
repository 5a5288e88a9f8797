package workload_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine/workload"
)

func TestDecodeRequest(t *testing.T) {
	q, problems := workload.DecodeRequest([]byte(`{"policy": "pitch-smart, little-league", "age": 12, "on": "2026-05-05", "ledger": [
		{"date": "2026-05-04", "kind": "pitches", "count": 68, "game": 1, "pain": false, "note": null, "count_at_last_batter": 60, "where": "red"},
		{"date": "2026-05-04", "kind": "innings-caught", "count": "1/3"},
		{"date": "2026-05-04", "kind": "bullpen", "count": null}]}`))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if diff := cmp.Diff([]string{"pitch-smart", "little-league"}, q.Policies); diff != "" || q.Age != 12 || q.On.String() != "2026-05-05" {
		t.Errorf("%+v", q)
	}
	a := workload.Judge(q, policies(t, q.Policies...))
	if brief(a.Pitching) != "no 2026-05-09 rest" || len(a.Totals.Missing) != 1 || a.Totals.Missing[0].Line != 3 {
		t.Errorf("%s, %+v", brief(a.Pitching), a.Totals.Missing)
	}
}

// The JSON and the CSV form of a ledger are the same ledger.
func TestJSONIsTheSameLedger(t *testing.T) {
	csv, problems := workload.ReadCSV("", []byte("date,kind,count,game,pain,note,count_at_last_batter,where\n2026-05-04,pitches,68,2,yes,after dark,60,blue\n2026-05-04,innings-caught,4.1,,no,,,\n"), date(t, "2026-05-05"))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	q, problems := workload.DecodeRequest([]byte(`{"on": "2026-05-05", "age": 12, "policy": ["pitch-smart"], "ledger": [
		{"date": "2026-05-04", "kind": "pitches", "count": 68, "game": 2, "pain": true, "note": "after dark", "count_at_last_batter": "60", "where": "blue"},
		{"kind": "innings-caught", "date": "2026-05-04", "count": 4.1, "pain": "no"}]}`))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for i := range csv.Entries {
		csv.Entries[i].Line = i + 1
	}
	if diff := cmp.Diff(csv, q.Ledger, cmp.AllowUnexported(workload.Count{})); diff != "" {
		t.Error(diff)
	}
}

func TestDecodeRequestRefuses(t *testing.T) {
	for _, c := range []struct{ body, pointer, code, hint string }{
		{`{"on": "2026-05-05", "ages": 12}`, "/ages", "unknown-key", `did you mean "age"?`},
		{`{"on": "5 May"}`, "/on", "bad-date", ""},
		{`{"on": "2026-05-05", "born": "2014"}`, "/born", "wrong-form", ""},
		{`{"on": "2026-05-05", "age": 120}`, "/age", "out-of-range", ""},
		{`{"on": "2026-05-05", "age": "twelve"}`, "/age", "wrong-type", ""},
		{`{"on": "2026-05-05", "policy": 7}`, "/policy", "wrong-type", ""},
		{`{"on": "2026-05-05", "on": "2026-05-06"}`, "/on", "repeated-key", ""},
		{`{"age": 12}`, "/on", "missing-key", ""},
		{`{"on": "2026-05-05", "ledger": {}}`, "/ledger", "wrong-type", ""},
		{`{"on": "2026-05-05", "ledger": [{"date": "2026-05-04", "kind": "pitches", "cuont": 3}]}`, "/ledger/0/cuont", "unknown-key", `did you mean "count"?`},
		{`{"on": "2026-05-05", "ledger": [{}, {"date": "2026-05-04", "kind": "pitches", "count": -3}]}`, "/ledger/1/count", "bad-count", ""},
		{`{"on": "2026-05-05", "ledger": [{"date": "2026-06-04", "kind": "pitches", "count": 3}]}`, "/ledger/0/date", "future-date", ""},
		{`{"on": "2026-05-05", "ledger": [{"date": ["x"], "kind": "pitches", "count": 3}]}`, "/ledger/0/date", "wrong-type", ""},
		{`[1]`, "", "wrong-type", ""},
		{`{"on": `, "/on", "not-json", ""},
	} {
		_, problems := workload.DecodeRequest([]byte(c.body))
		found := false
		for _, p := range problems {
			found = found || p.Pointer == c.pointer && p.Code == c.code && strings.Contains(p.Hint, c.hint) && p.Wanted != ""
		}
		if !found {
			t.Errorf("%s: %+v", c.body, problems)
		}
	}
}

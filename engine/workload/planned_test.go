package workload

import (
	"strings"
	"testing"

	"rootcue/engine/civil"
)

// Planned throws come to what the same throws would be if they were recorded.
// The two policies name 50 a day, as a stop and as advice.
func TestPlanned(t *testing.T) {
	policy := func(level string) *Policy {
		p, problems := Parse("p.yaml", []byte("policy: fifty\ntitle: Fifty\nsource: {by: Harbour, edition: \"1\", read: 2026-01-10}\nthrowing:\n  - {ages: [6, 18], most_a_day: 50, level: "+level+"}\n"))
		if p == nil {
			t.Fatal(problems)
		}
		return p
	}
	day := civil.Date{Year: 2026, Month: 5, Day: 10}
	recorded := func(kind Kind, c Count) Entry { return Entry{Line: 1, Date: day, Kind: kind, Count: c} }
	for _, tt := range []struct {
		name, level string
		age         int
		entry       Entry
		throws      int
		answer      string
		left        int // -1: no rule says
		over        int
		cautions    int
		says        string
	}{
		{"within", "stop", 12, recorded(PracticeThrows, Of(30)), 19, Yes, 1, 0, 0, "leave 1"},
		{"to the limit", "stop", 12, recorded(PracticeThrows, Of(30)), 20, Yes, 0, 0, 1, "leave 0"},
		{"one past it", "stop", 12, recorded(PracticeThrows, Of(30)), 21, No, 0, 1, 1, "forbids"},
		{"one past advice", "watch", 12, recorded(PracticeThrows, Of(30)), 21, Yes, 0, 1, 1, "advice"},
		{"nothing left", "stop", 12, recorded(PracticeThrows, Of(50)), 1, No, 0, 1, 1, "not allowed"},
		{"a count is missing", "stop", 12, recorded(PracticeThrows, Count{}), 5, Unknown, 0, 5, 1, "cannot be told"},
		{"pain", "stop", 12, recorded(Pain, Count{}), 5, No, 0, 5, 0, "not allowed"},
		{"no rule for the age", "stop", 30, recorded(PracticeThrows, Of(30)), 500, NoRule, -1, 0, 0, "No rule in force"},
		{"none", "stop", 12, recorded(PracticeThrows, Of(30)), 0, Yes, 20, 0, 0, "No throws"},
	} {
		q := Request{On: day, Age: tt.age, Throws: &tt.throws, Ledger: Ledger{Entries: []Entry{tt.entry}}}
		policies := []*Policy{policy(tt.level)}
		p := Judge(q, policies).IfThrows
		left := -1
		if p.Left != nil {
			left = *p.Left
		}
		if p.Throws != tt.throws || p.Answer != tt.answer || left != tt.left || p.OverBy != tt.over || len(p.Cautions) != tt.cautions || !strings.Contains(p.Says, tt.says) {
			t.Errorf("%s: found %+v", tt.name, p)
		}
		if tt.throws == 0 {
			continue
		}
		then := Request{On: day, Age: tt.age, Ledger: Ledger{Entries: []Entry{tt.entry, recorded(PracticeThrows, Of(float64(tt.throws)))}}}
		after := Judge(then, policies)
		if (p.Left == nil) != (after.Throwing.Left == nil) || p.Left != nil && *p.Left != *after.Throwing.Left {
			t.Errorf("%s: %v left, and once recorded %v", tt.name, p.Left, after.Throwing.Left)
		}
		if after.IfThrows != nil {
			t.Errorf("%s: told without being asked", tt.name)
		}
	}
	many := MostPlanned + 1
	if slips := (Request{On: day, Age: 12, Throws: &many}).Problems([]*Policy{policy("stop")}); len(slips) != 1 || slips[0].Pointer != "/throws" {
		t.Errorf("found %+v", slips)
	}
}

package workload_test

import (
	"slices"
	"strings"
	"testing"

	"rootcue/engine/workload"
)

func TestPainAndBlows(t *testing.T) {
	all := func(want string) [3]string { return [3]string{want, want, want} }
	fine := [3]string{"yes 85", "yes", "no-rule"}
	for _, c := range []struct {
		name, on string
		want     [3]string // pitching, catching, throwing
		lines    []string
	}{
		{"pain stops that day", "2026-05-04", all("no never pain"), []string{"2026-05-04 pain"}},
		{"and every later one", "2027-05-04", all("no never pain"), []string{"2026-05-04 pain"}},
		{"the column pain does so too", "2026-05-10", all("no never pain"), []string{"2026-05-04 base-throws 3 pain=elbow"}},
		{"pain=no is none", "2026-05-10", fine, []string{"2026-05-04 base-throws 3 pain=no"}},
		{"cleared the day after", "2026-05-06", fine, []string{"2026-05-04 pain", "2026-05-05 cleared note=physician"}},
		{"cleared on its own day", "2026-05-05", fine, []string{"2026-05-04 pain", "2026-05-05 cleared note=physician"}},
		{"asked before the clearance", "2026-05-04", all("no never pain"), []string{"2026-05-04 pain"}},
		{"cleared on the day of the pain: the order is not known", "2026-05-06", all("no never pain"), []string{"2026-05-04 pain", "2026-05-04 cleared note=physician"}},
		{"pain again after the clearance", "2026-05-08", all("no never pain"), []string{"2026-05-04 pain", "2026-05-05 cleared note=physician", "2026-05-07 pain"}},
		{"a blow", "2026-05-10", all("no never head-or-chest-blow"), []string{"2026-05-04 head-or-chest-blow"}},
		{"a blow, cleared", "2026-05-10", fine, []string{"2026-05-04 head-or-chest-blow", "2026-05-09 cleared note=physician"}},
		{"a blow, cleared on its own day: no return that day, nor on that word", "2026-05-10", all("no never head-or-chest-blow"), []string{"2026-05-04 head-or-chest-blow", "2026-05-04 cleared note=physician"}},
		{"tired stops that day", "2026-05-04", [3]string{"no 2026-05-05 tired", "no 2026-05-05 tired", "no 2026-05-05 tired"}, []string{"2026-05-04 tired"}},
		{"and no other", "2026-05-05", fine, []string{"2026-05-04 tired"}},
		{"tired with a day of rest to come", "2026-05-04", [3]string{"no 2026-05-06 tired", "no 2026-05-05 tired", "no 2026-05-05 tired"}, []string{"2026-05-04 tired", "2026-05-04 pitches 30"}},
	} {
		a := ask(t, policies(t, "little-league"), 12, c.on, c.lines...)
		if got := [3]string{brief(a.Pitching), brief(a.Catching), brief(a.Throwing)}; got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestNoPolicyOverridesPain(t *testing.T) {
	loose := parse(t, `
policy: loose
title: All is allowed
source: {by: A league, edition: "1", read: 2026-01-10}
pitching: [{ages: [0, 99], most_a_day: 999, level: note}]
catching: [{ages: [0, 99], none_that_day_after_pitches: 999, level: note}]
throwing: [{ages: [0, 99], most_a_day: 999, level: note}]
`)
	for _, list := range [][]*workload.Policy{{loose}, {}} {
		a := workload.Judge(workload.Request{On: date(t, "2026-05-10"), Age: 12, Ledger: ledger(t, "2026-05-10", "2026-05-04 pain")}, list)
		for _, v := range []workload.Verdict{a.Pitching, a.Catching, a.Throwing} {
			if v.Answer != "no" || v.NextDay != nil || v.Policy != "always" || v.Rule != "pain" || v.Entry.Line != 2 || *v.Left != 0 {
				t.Errorf("%+v", v)
			}
		}
		for _, d := range a.Calendar {
			if d.Pitching != "no" || d.Catching != "no" || d.Throwing != "no" || *d.Left != 0 {
				t.Errorf("calendar %+v", d)
			}
		}
	}
}

func TestClearanceNeedsARole(t *testing.T) {
	on := date(t, "2026-05-10")
	l, problems := workload.ReadCSV("l.csv", []byte("date,kind,count,note\n2026-05-04,pain,,\n2026-05-05,cleared,,\n"), on)
	if len(problems) != 1 || problems[0].Line != 3 || !strings.Contains(problems[0].Wanted, "role") {
		t.Fatalf("problems %+v", problems)
	}
	a := workload.Judge(workload.Request{On: on, Age: 12, Ledger: l}, policies(t, "pitch-smart"))
	if brief(a.Throwing) != "no never pain" {
		t.Errorf("a clearance by nobody lifted the stop: %s", brief(a.Throwing))
	}
}

// Whatever else is wrong with a line, pain on it is not lost.
func TestPainOnAFaultyLineHolds(t *testing.T) {
	on := date(t, "2026-05-10")
	for _, line := range []string{
		"5/4/2026,pain,,,,", "2026-05-04,pains,,,yes,", "2027-05-04,pain,,,,", "soon,base-throws,3,,yes,",
		`2026-05-04,pain,,,,said "ow"`, "2026-05-04,base-throws,x,,elbow,", "2026-05-04,base-throws,-1,,3/10,", "whenever,head-or-chest-blow,,,,",
		"2026-05-04,pian,,,,", "2026-05-04,head-or-chest-blwo,,,,", "2026-05-04,head,,,,", "5/4/2026,Pains,,,,",
	} {
		data := []byte("date,kind,count,game,pain,note\n" + line + "\n2026-05-06,cleared,,,,physician\n2026-05-05,tired,,,,\n")
		l, problems := workload.ReadCSV("l.csv", data, on)
		if strings.HasPrefix(line, "2026") {
			l.Entries = l.Entries[:1] // its date can be read, so the clearance would lift it
		}
		g := workload.NewGate(workload.GateInput{On: on, Player: workload.Player{Age: 12}, Ledger: &l})
		if len(problems) == 0 || !g.ThrowingStopped || !g.EmptyAll {
			t.Errorf("%s: %d problems, gate %+v", line, len(problems), g)
		}
	}
}

func TestGate(t *testing.T) {
	const on = "2026-05-05"
	for _, c := range []struct {
		name    string
		stopped bool
		empty   bool
		codes   string // hardest first
		lines   []string
	}{
		{"nothing recorded", false, false, "standing workload-unknown other-teams no-catcher-limit", nil},
		{"nothing to flag", false, false, "standing recorded-to other-teams no-catcher-limit", []string{"2026-04-20 pitches 20"}},
		{"pain", true, true, "pain-reported standing recorded-to other-teams no-catcher-limit", []string{"2026-04-20 pain"}},
		{"a blow and pain", true, true, "blow-reported pain-reported standing recorded-to other-teams no-catcher-limit", []string{"2026-04-20 pain", "2026-04-21 head-or-chest-blow"}},
		{"tired", true, false, "tired standing recorded-to other-teams no-catcher-limit", []string{on + " tired"}},
		{"a day of rest", false, false, "workload-rest rest-day-throwing standing recorded-to other-teams no-catcher-limit", []string{"2026-05-04 pitches 30"}},
		{"a missing count", false, false, "workload-count-missing rest-day-throwing standing recorded-to other-teams no-catcher-limit", []string{"2026-05-04 pitches ?"}},
		{"the day's throws are advised against", false, false, "workload-most-a-day standing recorded-to other-teams no-catcher-limit", []string{on + " practice-throws 50"}},
		{"catching after pitching is advised against", false, false, "workload-none-that-day-after-pitches standing recorded-to other-teams no-catcher-limit", []string{on + " pitches 20"}},
		{"innings without pitches", false, false, "pitches-not-recorded standing recorded-to other-teams no-catcher-limit", []string{"2026-05-04 innings-pitched 2"}},
	} {
		l := ledger(t, on, c.lines...)
		g := workload.NewGate(workload.GateInput{On: date(t, on), Player: workload.Player{Age: 12}, Policies: policies(t, "pitch-smart", "elementary-throws"), Ledger: &l})
		var codes []string
		for _, caution := range g.Cautions {
			codes = append(codes, caution.Code)
			if caution.Stops == nil || caution.Says == "" || caution.Source == "" {
				t.Errorf("%s: %+v is not whole", c.name, caution)
			}
		}
		if got := strings.Join(codes, " "); got != c.codes || g.ThrowingStopped != c.stopped || g.EmptyAll != c.empty {
			t.Errorf("%s: %s, throwing stopped %v, all empty %v", c.name, got, g.ThrowingStopped, g.EmptyAll)
		}
	}
}

func TestGateLevels(t *testing.T) {
	on := "2026-05-05"
	l := ledger(t, on, "2026-05-04 pitches ?", on+" practice-throws 60", "2026-05-01 tired", on+" tired")
	g := workload.NewGate(workload.GateInput{On: date(t, on), Player: workload.Player{Age: 12}, Policies: policies(t, "pitch-smart", "elementary-throws"), Ledger: &l})
	var levels []string
	for _, c := range g.Cautions {
		levels = append(levels, string(c.Level))
		switch c.Code {
		case "tired":
			if !slices.Equal(c.Stops, []workload.Activity{"throwing", "catching", "pitching"}) {
				t.Errorf("tired stops %v", c.Stops)
			}
		case "workload-count-missing":
			if !slices.Equal(c.Stops, []workload.Activity{"pitching"}) || c.Level != workload.Limit {
				t.Errorf("%+v", c)
			}
		case "workload-most-a-day", "rest-day-throwing":
			if len(c.Stops) != 0 || c.Level != workload.Watch {
				t.Errorf("%+v", c)
			}
		}
	}
	if got := strings.Join(levels, " "); got != "stop limit watch watch note note note note" {
		t.Errorf("levels %s", got)
	}
}

func TestGateWithoutALedger(t *testing.T) {
	g := workload.NewGate(workload.GateInput{On: date(t, "2026-05-05"), Player: workload.Player{Age: 12}, Policies: policies(t, "pitch-smart")})
	if g.ThrowingStopped || g.EmptyAll || g.Cautions[0].Code != "standing" || g.Cautions[1].Code != "workload-unknown" {
		t.Errorf("%+v", g)
	}
	for _, word := range []string{"not medical advice", "League rules", "licensed clinician"} {
		if !strings.Contains(g.Cautions[0].Says, word) {
			t.Errorf("the standing note lacks %q", word)
		}
	}
}

// A throwing limit that binds stops throwing, but leaves the rest to work on.
func TestThrowingLimitStopsThrowing(t *testing.T) {
	hard := parse(t, `
policy: hard
title: Fifty throws
source: {by: A league, edition: "1", read: 2026-01-10}
throwing: [{ages: [6, 12], most_a_day: 50, level: limit}]
`)
	for count, want := range map[string]bool{"49": false, "50": true, "?": true} {
		l := ledger(t, "2026-05-05", "2026-05-05 base-throws "+count)
		g := workload.NewGate(workload.GateInput{On: date(t, "2026-05-05"), Player: workload.Player{Age: 12}, Policies: []*workload.Policy{hard}, Ledger: &l})
		if g.ThrowingStopped != want || g.EmptyAll {
			t.Errorf("%s throws: %+v", count, g)
		}
	}
}

func TestAssessedThrowsCount(t *testing.T) {
	on := date(t, "2026-05-04")
	l := ledger(t, "2026-05-04", "2026-05-04 practice-throws 30")
	l.Entries = append(l.Entries, workload.Assessed(on, 6))
	a := workload.Judge(workload.Request{On: on, Age: 9, Ledger: l}, policies(t, "elementary-throws"))
	if brief(a.Throwing) != "yes 14" || a.Totals.Day.Throws != 36 {
		t.Errorf("%s, %d throws", brief(a.Throwing), a.Totals.Day.Throws)
	}
}

// What a club must say on pages, with every topic there.
func TestAdviceIsWhole(t *testing.T) {
	var text strings.Builder
	for _, c := range workload.Advice {
		if c.Level != workload.Note || len(c.Stops) != 0 || c.Source == "" {
			t.Errorf("%+v", c)
		}
		text.WriteString(c.Says + "\n")
	}
	for _, word := range []string{"Growth plates", "no return that day", "AED", "Heat", "catcher's throws", "Hibberd 2018", "Yang 2014", "half effort", "throat guard", "ND200", "guardian's written consent", "Knee, hip or back", "not medical advice"} {
		if !strings.Contains(text.String(), word) {
			t.Errorf("no word of %q", word)
		}
	}
}

package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// workloadRun runs the command on a ledger given by its rows.
func workloadRun(t *testing.T, rows string, flags ...string) (code int, out, errs string) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "ledger.csv")
	if err := os.WriteFile(file, []byte("date,kind,count,game,pain,note\n"+rows), 0o600); err != nil {
		t.Fatal(err)
	}
	var o, e bytes.Buffer
	code = Main(append(append([]string{"workload"}, flags...), file), strings.NewReader(""), &o, &e)
	return code, o.String(), strings.ReplaceAll(e.String(), file, "ledger.csv")
}

func TestWorkloadText(t *testing.T) {
	code, out, errs := workloadRun(t, "2026-05-04,pitches,68,,,\n", "--policy", "pitch-smart,little-league", "--age", "12", "--on", "2026-05-05")
	if code != exitDone || errs != "" {
		t.Fatalf("exit %d, %s", code, errs)
	}
	for _, want := range []string{
		"Tuesday 2026-05-05, by what was recorded here\n",
		"Pitching: no, 0 left, next Saturday 2026-05-09\n",
		"  Decided by rest of pitch-smart, by line 2 of the ledger\n",
		"Catching: yes\n",
		"Throwing: no-rule\n",
		"  stop: 68 pitches on 2026-05-04; ",
		"  note: This is coaching information, not medical advice",
		"  Sat 2026-05-09  pitching yes (85), catching yes, throwing no-rule\n",
		"Change of load: Withheld: 2 days recorded, 28 are needed.\n",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
}

func TestWorkloadTextOfAnOpenDay(t *testing.T) {
	_, out, _ := workloadRun(t, "2026-05-04,pitches,25,,,\n", "--policy", "little-league", "--age", "12", "--on", "2026-05-04")
	for _, want := range []string{
		"Pitching: yes, 60 left\n",
		"   16 to  25: next pitching Thu 2026-05-07, catching today no\n",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
}

func TestWorkloadJSON(t *testing.T) {
	code, out, _ := workloadRun(t, "2026-05-04,pitches,68,,,\n", "--policy", "pitch-smart", "--born", "2014-03", "--on", "2026-05-05", "--format", "json")
	var a struct {
		Pitching struct {
			Answer  string
			Left    *int
			NextDay string `json:"next_day"`
			Policy  string
			Rule    string
			Says    string
		}
		AsRecordedTo string `json:"as_recorded_to"`
		Cautions     []struct{ Code, Level string }
		Policies     []struct{ Age int }
	}
	if err := json.Unmarshal([]byte(out), &a); err != nil || code != exitDone {
		t.Fatalf("exit %d, %v", code, err)
	}
	p := a.Pitching
	if p.Answer != "no" || *p.Left != 0 || p.NextDay != "2026-05-09" || p.Policy != "pitch-smart" || p.Rule != "rest" || p.Says == "" {
		t.Errorf("%+v", p)
	}
	if a.AsRecordedTo != "2026-05-04" || a.Cautions[0].Level != "stop" || a.Policies[0].Age != 12 {
		t.Errorf("%+v", a)
	}
}

// Bad lines are told by number, the good ones kept and answered.
func TestWorkloadBadLines(t *testing.T) {
	code, out, errs := workloadRun(t, "2026-05-04,pitches,68,,,\n2026-05-04,pitchs,9,,,\n46146,pitches,9,,,\n", "--policy", "pitch-smart", "--age", "12", "--on", "2026-05-05")
	if code != exitInput || !strings.Contains(out, "Pitching: no, 0 left, next Saturday 2026-05-09") || !strings.Contains(out, "Missing, line 3") || !strings.Contains(out, "Missing, line 4") {
		t.Errorf("exit %d\n%s", code, out)
	}
	for _, want := range []string{"ledger.csv: slips in the ledger (2); the answer rests on what could be read\n", "ledger.csv:3:12: found the kind \"pitchs\"", `did you mean "pitches"?`, "ledger.csv:4:1: found the date \"46146\""} {
		if !strings.Contains(errs, want) {
			t.Errorf("no %q in\n%s", want, errs)
		}
	}
}

func TestWorkloadStandardInput(t *testing.T) {
	var out, errs bytes.Buffer
	in := strings.NewReader("date,kind,count\n2026-05-04,pain,\n")
	if code := Main([]string{"workload", "--policy", "pitch-smart", "--age", "12", "--on", "2026-05-05", "-"}, in, &out, &errs); code != exitDone {
		t.Fatalf("exit %d, %s", code, errs.String())
	}
	if !strings.Contains(out.String(), "Throwing: no, 0 left\n") || !strings.Contains(out.String(), "Decided by pain, which no policy overrides, by line 2") {
		t.Errorf("%s", out.String())
	}
}

func TestWorkloadOwnPolicy(t *testing.T) {
	file := filepath.Join(t.TempDir(), "club.yaml")
	policy := "policy: club\ntitle: Our club\nsource: {by: Our club, edition: \"2026\", read: 2026-01-10}\npitching: [{ages: [7, 18], most_a_day: 40}]\n"
	if err := os.WriteFile(file, []byte(policy), 0o600); err != nil {
		t.Fatal(err)
	}
	code, out, errs := workloadRun(t, "", "--policy", file+",pitch-smart", "--age", "12", "--on", "2026-05-05")
	if code != exitDone || !strings.Contains(out, "Pitching: yes, 40 left") || !strings.Contains(out, "most_a_day of club") {
		t.Errorf("exit %d, %s\n%s", code, errs, out)
	}
	if err := os.WriteFile(file, []byte(strings.Replace(policy, "most_a_day", "most_aday", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	code, out, errs = workloadRun(t, "", "--policy", file, "--age", "12", "--on", "2026-05-05")
	if code != exitInput || out != "" || !strings.Contains(errs, "is no usable policy\n") || !strings.Contains(errs, `did you mean "most_a_day"?`) || !strings.Contains(errs, "club.yaml:4:28:") {
		t.Errorf("exit %d\n%s", code, errs)
	}
}

func TestWorkloadBadCommandLines(t *testing.T) {
	const day = "--on=2026-05-05"
	for _, c := range []struct {
		flags []string
		code  int
		says  string
	}{
		{[]string{"--policy=pitch-smrt", "--age=12", day}, exitUsage, `wanted one of elementary-throws, little-league or pitch-smart, or a file; did you mean "pitch-smart"?`},
		{[]string{"--policy=./none.yaml", "--age=12", day}, exitCannot, "cannot read the policy"},
		{[]string{"--policy=pitch-smart", day}, exitUsage, "neither age nor born"},
		{[]string{"--policy=pitch-smart", "--age=11", "--born=2014-03", day}, exitUsage, "age 11 and born 2014-03"},
		{[]string{"--policy=pitch-smart", "--age=-3", day}, exitUsage, "found -3"},
		{[]string{"--policy=pitch-smart", "--age=12", "--on=2026-5-5"}, exitUsage, "YYYY-MM-DD"},
		{[]string{"--policy=pitch-smart", "--born=2014", day}, exitUsage, "YYYY-MM"},
		{[]string{"--age=12", day}, exitUsage, "--policy"},
		{[]string{"--policy=pitch-smart", "--age=12"}, exitUsage, "--on"},
		{[]string{"--policy=pitch-smart", "--age=12", day, "--format=xml"}, exitUsage, "--format"},
	} {
		code, out, errs := workloadRun(t, "", c.flags...)
		if code != c.code || out != "" || !strings.Contains(errs, c.says) {
			t.Errorf("%v: exit %d, want %d; %s", c.flags, code, c.code, errs)
		}
	}
	var out, errs bytes.Buffer
	if code := Main([]string{"workload", "--policy=pitch-smart", "--age=12", day, "no-such.csv"}, strings.NewReader(""), &out, &errs); code != exitCannot || !strings.Contains(errs.String(), "no-such.csv") {
		t.Errorf("exit %d, %s", code, errs.String())
	}
}

func TestWorkloadThrows(t *testing.T) {
	rows, flags := "2026-05-05,practice-throws,45,,,\n", []string{"--policy", "elementary-throws", "--age", "12", "--on", "2026-05-05"}
	code, out, errs := workloadRun(t, rows, append(flags, "--throws", "6")...)
	if code != exitDone || errs != "" || !strings.Contains(out, "Planned: 6 throws, yes\n  6 throws on 2026-05-05 are 1 more than the 5 left") || !strings.Contains(out, "  Would bring: watch: 51 throws") {
		t.Errorf("exit %d, %s\n%s", code, errs, out)
	}
	if code, _, errs := workloadRun(t, rows, append(flags, "--throws", "1000")...); code != exitUsage || !strings.Contains(errs, "--throws: found 1000, wanted throws from 0 to 999") {
		t.Errorf("exit %d, %s", code, errs)
	}
	if _, out, _ := workloadRun(t, rows, flags...); strings.Contains(out, "Planned") {
		t.Error("planned without being asked")
	}
}

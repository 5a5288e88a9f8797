package cli

import (
	"strings"
	"testing"
)

const statedRace = "race --pop 2.05 --u-pop 0.06 --delivery 1.35 --u-delivery 0.08 --tag 0.1 --runner 3.55 --u-runner 0.12 "

func TestRaceJSON(t *testing.T) {
	for args, want := range map[string]string{
		statedRace: `{"margin_s":0.05,"u_s":0.156205,"chance_out":0.6255508,`,
		strings.Replace(statedRace, "2.05", "2050ms", 1):              `{"margin_s":0.05,"u_s":0.156205,"chance_out":0.6255508,`,
		statedRace + "--u-tag 0.03":                                   `"u_s":0.1590597,`,
		"race --pop 2.05 --runner 3.55":                               `{"name":"tag","value":0.1,"u":0.03,"unit":"s","source":"starting value"}`,
		"race --pop 3 --age 12 --no-runner-may-lead":                  `{"name":"lead","value":0,"u":0,"unit":"m","source":"the runner may not lead"}`,
		"race --pop 3 --age 9 --runner-may-lead":                      `{"name":"lead","value":2.4384,`,
		"race --pop 3 --base-path 80ft --top-speed 15mph":             `{"name":"lead","value":3.048,`,
		"race --pop 3 --age 12 --tau 0.5 --u-tau 0.1":                 `{"name":"tau","value":0.5,"u":0.1,`,
		"race --pop 3 --age 12 --reaction 0.3 --u-reaction 0.1":       `{"name":"reaction","value":0.3,"u":0.1,`,
		"race --pop 3 --age 12 --top-speed 6m/s --u-top-speed 0.5m/s": `{"name":"top_speed","value":6,"u":0.5,`,
		"race --pop 3 --age 12 --lead 9ft":                            `{"name":"lead","value":2.7432,"u":0,"unit":"m","source":"stated"}`,
		"race --pop 2.4 --age 12 --exchange 1 --distance 20m":         `{"name":"distance","value":20,`,
		"race --pop 2.4 --age 12 --exchange 1 --release-height 4ft":   `{"name":"release_height","value":1.2192,`,
		"race --pop 2.4 --age 12 --exchange 1 --target-height 1ft":    `{"name":"target_height","value":0.3048,`,
	} {
		out, code := runAlone(t, args+" --format json")
		if code != exitDone || !strings.Contains(out, want) || strings.Count(out, "\n") != 1 {
			t.Errorf("%s\n got %d %s\nwant %s", args, code, out, want)
		}
	}
}

func TestRaceText(t *testing.T) {
	out, code := runAlone(t, "race --pop 2.45 --u-pop 0.06 --age 12 --exchange 1.0")
	want := `Margin 0.16 ± 0.30 s: the tag comes first more likely than not.
Chance of an out: 70 %.
Runner: 4.06 ± 0.29 s.
When the ball leaves the hand the runner has run 48 % of the way.
Even at this flight: an exchange of 1.16 ± 0.30 s.
Even at this exchange: a throw of 21.9 ± 3.2 m/s (49.0 mph).
From:
  pop 2.450 ± 0.060 s (stated)
`
	if code != exitDone || !strings.HasPrefix(out, want) {
		t.Errorf("exit %d\n%s\nwant\n%s", code, out, want)
	}
}

func TestRaceTextAtTheEnds(t *testing.T) {
	for args, want := range map[string]string{
		"race --pop 4 --runner 3.5 --exchange 0.1":  "Chance of an out: below 1 %.\nRunner: 3.5 s.\nWhen",
		"race --pop 1 --runner 3.5 --exchange 0.5":  "Chance of an out: above 99 %.",
		"race --pop 4 --runner 3.6":                 "the runner is safe more likely than not.",
		"race --pop 4 --runner 3.5 --exchange 0.11": "No exchange would make the race even at this flight.",
	} {
		if out, code := runAlone(t, args); code != exitDone || !strings.Contains(out, want) {
			t.Errorf("%s: exit %d\n%s\nwant %s", args, code, out, want)
		}
	}
}

func TestRaceRefuses(t *testing.T) {
	for _, tt := range []struct {
		args, want string
		code       int
	}{
		{"race --pop 2", "--runner: found no time of the runner", exitInput},
		{"race --pop 2 --age 40", "--age: found age 40 years, wanted 8 to 18 years", exitInput},
		{"race --pop 2ft --age 12", "--pop: found a length in ft, wanted a time", exitInput},
		{"race --pop 2 --age 12 --base-path 70s", "--base-path: found a time in s", exitInput},
		{"race --age 12", "missing flags: --pop=TIME", exitUsage},
		{"race --pop fast", "is no number", exitUsage},
	} {
		out, code := runAlone(t, tt.args)
		if code != tt.code || !strings.Contains(out, tt.want) {
			t.Errorf("%s: exit %d %s, want %d %s", tt.args, code, out, tt.code, tt.want)
		}
	}
}

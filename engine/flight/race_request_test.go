package flight

import (
	"encoding/json"
	"strings"
	"testing"
)

func raceJSON(t *testing.T, body string) string {
	t.Helper()
	req, problems := DecodeRaceRequest([]byte(body))
	if len(problems) > 0 {
		return (&BadRequest{problems}).Error()
	}
	reply, err := RaceAnswer(req)
	if err != nil {
		return err.Error()
	}
	return encode(t, reply)
}

func raceReply(t *testing.T, body string) (r RaceReply) {
	t.Helper()
	got := raceJSON(t, body)
	if err := json.Unmarshal([]byte(got), &r); err != nil {
		t.Fatal(got)
	}
	return r
}

const stateAll = `"pop": 2.05, "u_pop": 0.06, "delivery": 1.35, "u_delivery": 0.08, "tag": 0.1, "runner": 3.55, "u_runner": 0.12`

func TestStatedRaceAnswer(t *testing.T) {
	want := `{"margin_s":0.05,"u_s":0.156205,"chance_out":0.6255508,"runner_s":3.55,"u_runner_s":0.12,"runner_at_release":null,"need":null,"inputs":[`
	for _, body := range []string{`{` + stateAll + `}`, strings.ReplaceAll(`{`+stateAll+`}`, `2.05`, `"2050ms"`)} {
		if got := raceJSON(t, body); !strings.HasPrefix(got, want) {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
}

// Defaults come in only where the value itself is left out: a tag stated
// without u is exact, a tag left out is 0.10 ± 0.03 s.
func TestRaceUncertaintyLeftOut(t *testing.T) {
	tag := func(more string) Input {
		for _, in := range raceReply(t, `{"pop": 2.05, "runner": 3.55`+more+`}`).Inputs {
			if in.Name == "tag" {
				return in
			}
		}
		t.Fatal("no tag among the inputs")
		return Input{}
	}
	if got := tag(`, "tag": 0.1`); got.U != 0 || got.Source != "stated" {
		t.Errorf("stated: %+v", got)
	}
	if got := tag(``); got.Value != 0.1 || got.U != 0.03 || got.Source != sourceRace {
		t.Errorf("left out: %+v", got)
	}
}

func TestRunnerByAge(t *testing.T) {
	reply := raceReply(t, `{"pop": 2.45, "u_pop": 0.06, "age": 12, "exchange": 1}`)
	r, _, _ := RunnerFor(12)
	run, err := r.Time()
	if err != nil {
		t.Fatal(err)
	}
	isNear(t, "runner", reply.RunnerS, run.Value, 5.1e-8)
	isNear(t, "u of the runner", reply.URunnerS, run.U, 5.1e-8)
	isNear(t, "exchange that makes it even", *reply.Need.ExchangeS, 1+reply.MarginS, 2e-7)
	even := mustSolve(t, fixed(), Path{70 * ft * 1.4142135623730951, 1.5, 0.3}, *reply.Need.SpeedMps)
	isNear(t, "flight at the speed that makes it even", even.TimeS, 1.45+reply.MarginS, 2e-7)
	if *reply.RunnerAtRelease < 0.3 || *reply.RunnerAtRelease > 0.7 || !(*reply.Need.UMps > 0) {
		t.Errorf("%+v", reply)
	}
}

// To age 10 the default runner may not lead: the delivery drops out. An input.
func TestLeadsByAgeAndStated(t *testing.T) {
	has := func(body, name string) bool {
		for _, in := range raceReply(t, body).Inputs {
			if in.Name == name {
				return true
			}
		}
		return false
	}
	for body, want := range map[string]bool{
		`{"pop": 3, "age": 10}`:                           false,
		`{"pop": 3, "age": 10, "runner_may_lead": true}`:  true,
		`{"pop": 3, "age": 11}`:                           true,
		`{"pop": 3, "age": 11, "runner_may_lead": false}`: false,
		`{"pop": 3, "runner": 3.5, "age": null}`:          true,
	} {
		if got := has(body, "delivery"); got != want {
			t.Errorf("%s: delivery counts %v, want %v", body, got, want)
		}
	}
}

func TestStatedAndNotUsed(t *testing.T) {
	for body, want := range map[string]string{
		`{"pop": 3, "runner": 3.5, "top_speed": "6m/s"}`:                                 "top_speed 6 m/s is not used: the runner's time is stated.",
		`{"pop": 3, "runner": 3.5, "lead": "9ft"}`:                                       "lead 9 ft is not used: the runner's time is stated.",
		`{"pop": 3, "runner": 3.5, "tau": "0.5s", "reaction": 0.2}`:                      "reaction 0.2 is not used: the runner's time is stated.",
		`{"pop": 3, "age": 12, "runner_may_lead": false, "delivery": 1.3}`:               "delivery 1.3 is not used: the runner holds until the pitch reaches the plate.",
		`{"pop": 3, "age": 12, "runner_may_lead": false, "lead": "9ft"}`:                 "lead 9 ft is not used: the runner may not lead.",
		`{"pop": 3, "runner": 3.5, "exchange": 0.9, "release_height": "5ft"}`:            "release_height 5 ft is not used: the distance of the throw is not known.",
		`{"pop": 3, "runner": 3.5, "distance": "20m"}`:                                   "distance 20 m is not used: no exchange is stated.",
		`{"pop": 3, "runner": 3.5, "exchange": 0.9, "distance": "20m", "base_path": 18}`: `"notes":[]`,
	} {
		if got := raceJSON(t, body); !strings.Contains(got, want) {
			t.Errorf("%s\n got %s\nwant %s", body, got, want)
		}
	}
}

func TestStatedModel(t *testing.T) {
	reply := raceReply(t, `{"pop": 3, "base_path": "80ft", "lead": "12ft", "top_speed": "15mph", "u_top_speed": "1mph", "tau": 0.5, "u_tau": 0.1, "reaction": 0.25, "u_reaction": 0.05}`)
	r := Runner{Amount{Value: 80 * ft}, Amount{Value: 12 * ft}, Amount{15 * mph, 1 * mph}, Amount{0.5, 0.1}, Amount{0.25, 0.05}}
	want, err := r.Time()
	if err != nil {
		t.Fatal(err)
	}
	isNear(t, "runner", reply.RunnerS, want.Value, 5.1e-8)
	isNear(t, "u of the runner", reply.URunnerS, want.U, 5.1e-8)
}

func TestBadRaces(t *testing.T) {
	for body, want := range map[string]string{
		`{}`:                      "/pop: found no pop, wanted a value with a unit, such as in s",
		`{"pop": 2}`:              "/runner: found no time of the runner, wanted runner, or age for the default runner, or base_path and top_speed",
		`{"pop": 2, "age": 30}`:   "/age: found age 30 years, wanted 8 to 18 years",
		`{"pop": 2, "age": 12.5}`: "/age: found the number 12.5, wanted a whole number of years",
		`{"pop": 2, "age": 12, "runner_may_lead": "no"}`: `/runner_may_lead: found the text "no", wanted true or false`,
		`{"pop": 2, "runner": 3, "u_tag": 0.1}`:          "/u_tag: found an uncertainty without its value, wanted tag beside it",
		`{"pop": "2ft", "runner": 3}`:                    "/pop: found a length in ft, wanted a time, such as in s",
		`{"pop": 2, "runner": -3}`:                       "/runner: found runner's time -3 s, wanted 0.5 to 20 s",
		`{"pop": 2, "runner": 3, "exchange": 2.1}`:       "/exchange: found exchange 2.1 s, wanted 0.01 to 2 s",
		`{"pop": 2, "runer": 3}`:                         `did you mean "runner"?`,
		`{"pop": 2, "age": 12, "base_path": "700ft"}`:    "/base_path: found base path 213.36 m, wanted 5 to 50 m",
	} {
		if got := raceJSON(t, body); !strings.Contains(got, want) || strings.HasPrefix(got, "{") {
			t.Errorf("%s\n got %s\nwant %s", body, got, want)
		}
	}
}

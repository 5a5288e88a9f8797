package flight

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// asJSON is the answer to a body, or its slips, one a line.
func asJSON(t *testing.T, body string) string {
	t.Helper()
	req, problems := DecodeRequest([]byte(body))
	if len(problems) > 0 {
		return (&BadRequest{problems}).Error()
	}
	reply, err := Answer(req)
	if err != nil {
		return err.Error()
	}
	return encode(t, reply)
}

func encode(t *testing.T, reply any) string {
	t.Helper()
	data, err := json.Marshal(reply)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

const toSecond = `"distance": "98.99ft", "release_height": "5ft", "target_height": {"value": 1, "unit": "ft"}`

// The three ways to write a quantity mean the same.
func TestFormsOfAQuantity(t *testing.T) {
	want := asJSON(t, `{"speed": "60mph", `+toSecond+`}`)
	if !strings.Contains(want, `"carries":true,"time_s":1.2630877,"angle_deg":11.4943373,"speed_mps":26.8224,"arrival_mps":22.8225267,"u_s":0.0193564,"u_mps":0,`) {
		t.Error(want)
	}
	for _, speed := range []string{`26.8224`, `{"value": 60, "unit": "mph"}`, `" 60 mph "`, `{"value": 26.8224, "u": 0}`} {
		if diff := cmp.Diff(want, asJSON(t, `{"speed": `+speed+`, `+toSecond+`, "time": null}`)); diff != "" {
			t.Errorf("%s (-want +got)\n%s", speed, diff)
		}
	}
}

func TestQuantityUnmarshals(t *testing.T) {
	var got []Quantity
	if err := json.Unmarshal([]byte(`[3, "5ft", {"value": 60, "u": 2, "unit": "mph"}]`), &got); err != nil {
		t.Fatal(err)
	}
	want := []Quantity{{Value: 3}, {Value: 5, Unit: "ft"}, {Value: 60, U: at(2.0), Unit: "mph"}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if err := json.Unmarshal([]byte(`[true]`), &got); err == nil || !strings.Contains(err.Error(), quantityForms) {
		t.Errorf("a boolean: %v", err)
	}
}

func TestInverseAnswer(t *testing.T) {
	got := asJSON(t, `{"time": {"value": 1.2630877, "unit": "s", "u": 0.01}, `+toSecond+`, "cd": 0.35, "rho": 1.2}`)
	if !strings.HasPrefix(got, `{"carries":true,"time_s":1.2630877,"angle_deg":11.49433`) || !strings.Contains(got, `"u_s":0.01,`) {
		t.Error(got)
	}
	var reply Reply
	if err := json.Unmarshal([]byte(got), &reply); err != nil {
		t.Fatal(err)
	}
	isNear(t, "speed", *reply.SpeedMps, 60*mph, 1e-5)
	slope := (mustSolve(t, fixed(), Path{98.99 * ft, 5 * ft, 1 * ft}, 60.1*mph).TimeS - mustSolve(t, fixed(), Path{98.99 * ft, 5 * ft, 1 * ft}, 59.9*mph).TimeS) / (0.2 * mph)
	isNear(t, "u of the speed from the time's", *reply.UMps, 0.01/-slope, 1e-3)
}

func TestThrowThatDoesNotCarryIsAnAnswer(t *testing.T) {
	for body, want := range map[string]string{
		`{"speed": "40mph", ` + toSecond + `}`:                                                        `{"carries":false,"time_s":null,"angle_deg":null,"speed_mps":17.8816,"arrival_mps":null,"u_s":null,"u_mps":0,"best_height_m":0,`,
		`{"speed": "40mph", "distance": "90ft", "release_height": "5ft", "target_height": "20ft"}`:    `"best_height_m":2.`,
		`{"time": "9s", ` + toSecond + `}`:                                                            `"speed_mps":null,"arrival_mps":null,"u_s":null,"u_mps":null,"best_height_m":null,`,
		`{"time": "9s", ` + toSecond + `, "lift": 0}`:                                                 `No flat throw over this distance takes that long: the slowest that carries leaves at 18.2 m/s and takes 2.52 s.`,
		`{"speed": "40mph", ` + toSecond + `, "mass": "0.145kg"}`:                                     `the ball meets the ground before the target's distance`,
		`{"speed": "40mph", "distance": "90ft", "release_height": "1.5m", "target_height": "6000mm"}`: `"code":"does-not-carry"`,
	} {
		if got := asJSON(t, body); !strings.Contains(got, want) {
			t.Errorf("%s\n got %s\nwant %s", body, got, want)
		}
	}
}

// A stated uncertainty, within the value or beside it, counts; left out beside
// a stated value it is 0.
func TestStatedUncertainties(t *testing.T) {
	u := func(more string) float64 {
		var reply Reply
		got := asJSON(t, `{`+toSecond+more+`}`)
		if err := json.Unmarshal([]byte(got), &reply); err != nil {
			t.Fatal(got)
		}
		return *reply.US
	}
	if got := u(`, "speed": "60mph", "cd": 0.35, "rho": 1.2`); got != 0 {
		t.Errorf("all stated without u: %g", got)
	}
	within := u(`, "speed": {"value": 60, "unit": "mph", "u": 2}, "cd": 0.35, "rho": 1.2`)
	beside := u(`, "speed": "60mph", "u_speed": "2mph", "cd": 0.35, "rho": 1.2`)
	if within != beside || !(within > 0.04) {
		t.Errorf("within %g, beside %g", within, beside)
	}
	if got := u(`, "speed": "60mph", "cd": 0.35, "u_cd": 0.05, "rho": 1.2, "u_rho": 0.04`); got != u(`, "speed": "60mph"`) {
		t.Errorf("the defaults stated: %g", got)
	}
	for _, more := range []string{`"u_release_height": "10cm"`, `"u_target_height": "30cm"`} {
		got := asJSON(t, `{"speed": "60mph", "distance": "98.99ft", "release_height": "5ft", "target_height": "1ft", "cd": 0.35, "rho": 1.2, `+more+`}`)
		if strings.Contains(got, `"u_s":0,`) || !strings.Contains(got, `"u_s":0.0`) {
			t.Errorf("%s: %s", more, got)
		}
	}
}

func TestAirFromAltitudeAndTemperature(t *testing.T) {
	rho := func(more string) Input {
		req, problems := DecodeRequest([]byte(`{"speed": "60mph", ` + toSecond + more + `}`))
		reply, err := Answer(req)
		if err != nil || len(problems) > 0 {
			t.Fatal(err, problems)
		}
		for _, in := range reply.Inputs {
			if in.Name == "rho" {
				return in
			}
		}
		t.Fatal("no rho among the inputs")
		return Input{}
	}
	standard := rho(`, "altitude": "1500m"`)
	isNear(t, "ISO 2533 at 1500 m", standard.Value, 1.05810, 5.1e-6)
	isNear(t, "its weather spread", standard.U, 1.05810*0.04/1.2, 1e-5)
	warm := rho(`, "temperature": {"value": 20, "u": 5}`)
	isNear(t, "gas law at 20 °C", warm.Value, 1.20408, 5e-6)
	isNear(t, "5 °C in 293.15 K", warm.U, 1.20408*5/293.15, 1e-5)
	high := rho(`, "temperature": 20, "altitude": {"value": 1500, "u": 10, "unit": "m"}`)
	if !(high.Value < warm.Value && high.U > 0.001*high.Value && high.U < 0.002*high.Value) {
		t.Errorf("at 1500 ± 10 m and 20 °C: %+v", high)
	}
	if in := rho(`, "rho": 1.1`); in.Value != 1.1 || in.Unit != "kg/m³" || in.Source != "stated" {
		t.Errorf("stated: %+v", in)
	}
}

// Speed and time both stated are compared: beyond 3 u there is a note.
func TestSpeedAgainstTime(t *testing.T) {
	apart := asJSON(t, `{"speed": "60mph", "time": "1.4s", `+toSecond+`}`)
	if !strings.Contains(apart, `"code":"speed-against-time"`) || !strings.Contains(apart, "they differ by 0.137 s") {
		t.Error(apart)
	}
	for _, time := range []string{`"1.3s"`, `{"value": 1.4, "u": 0.05}`} {
		if got := asJSON(t, `{"speed": "60mph", "time": `+time+`, `+toSecond+`}`); !strings.Contains(got, `"notes":[]`) {
			t.Errorf("%s: %s", time, got)
		}
	}
}

// Every value that was used is shown with its source.
func TestInputsLeadBack(t *testing.T) {
	req, _ := DecodeRequest([]byte(`{"speed": "60mph", ` + toSecond + `, "cd": {"value": 0.3, "u": 0.02}}`))
	reply, err := Answer(req)
	if err != nil {
		t.Fatal(err)
	}
	want := []Input{
		{"speed", 26.8224, 0, "m/s", "stated"}, {"distance", 30.172152, 0, "m", "stated"},
		{"release_height", 1.524, 0, "m", "stated"}, {"target_height", 0.3048, 0, "m", "stated"},
		{"cd", 0.3, 0.02, "", "stated"}, {"rho", 1.2, 0.04, "kg/m³", sourceRho},
		{"mass", 0.145, 0, "kg", sourceMass}, {"circumference", 0.231775, 0, "m", sourceCircumference}, {"lift", 0, 0, "", sourceLift},
	}
	if diff := cmp.Diff(want, reply.Inputs); diff != "" {
		t.Error(diff)
	}
}

func TestBadRequests(t *testing.T) {
	for _, tt := range []struct{ name, body, want string }{
		{"nothing asked", `{` + toSecond + `}`, "/speed: found neither speed nor time, wanted a speed such as 60mph, or a time such as 1.26s for the speed it takes"},
		{"everything missing", `{"speed": "60mph"}`, "/distance: found no distance, wanted a value with a unit, such as in m\n/release_height: found no release_height, wanted a value with a unit, such as in m\n/target_height: found no target_height, wanted a value with a unit, such as in m"},
		{"wrong dimension", `{"speed": "60ft", ` + toSecond + `}`, "/speed: found a length in ft, wanted a speed, such as in m/s"},
		{"unknown unit", `{"speed": {"value": 60, "unit": "knots"}, ` + toSecond + `}`, `/speed: found the unit "knots", wanted a unit of speed, such as m/s`},
		{"no unit", `{"speed": "60", ` + toSecond + `}`, `/speed: found the text "60", wanted a number and a unit, such as 60mph or 1.26s`},
		{"no number", `{"speed": "fastmph", ` + toSecond + `}`, `/speed: found the text "fastmph", wanted a number and a unit, such as 60mph or 1.26s`},
		{"wrong type", `{"speed": true, ` + toSecond + `}`, "/speed: found the yes-no value true, wanted " + quantityForms},
		{"object without value", `{"speed": {"unit": "mph"}, ` + toSecond + `}`, "/speed: found no value, wanted an object with value"},
		{"unknown key", `{"sped": "60mph", ` + toSecond + `}`, `did you mean "speed"?`},
		{"unknown key within", `{"speed": {"value": 60, "units": "mph"}, ` + toSecond + `}`, `did you mean "unit"?`},
		{"repeated key", `{"speed": "60mph", "speed": "50mph", ` + toSecond + `}`, "/speed"},
		{"negative speed", `{"speed": -3, ` + toSecond + `}`, "/speed: found speed -3 m/s, wanted 0.1 to 100 m/s"},
		{"slow within its uncertainty", `{"speed": {"value": 3, "u": 5}, ` + toSecond + `}`, "/speed: found speed give or take its uncertainty -2 m/s, wanted 0.1 to 100 m/s"},
		{"negative u", `{"speed": {"value": 30, "u": -1}, ` + toSecond + `}`, "/speed: found 30 with uncertainty -1, wanted finite numbers, the uncertainty 0 or more"},
		{"negative u beside", `{"speed": 30, "u_speed": -1, ` + toSecond + `}`, "/u_speed: found 0 with uncertainty -1, wanted finite numbers, the uncertainty 0 or more"},
		{"u twice", `{"speed": {"value": 30, "u": 1}, "u_speed": 1, ` + toSecond + `}`, "/u_speed: found more than one uncertainty, wanted u_speed or u within speed"},
		{"u alone", `{"speed": 30, "u_cd": 0.1, ` + toSecond + `}`, "/u_cd: found an uncertainty without its value, wanted cd beside it"},
		{"u of another dimension", `{"speed": 30, "u_speed": "1s", ` + toSecond + `}`, "/u_speed: found a time in s, wanted a speed, such as in m/s"},
		{"rho with a unit", `{"speed": 30, "rho": "1.2kg", ` + toSecond + `}`, "/rho: found a value in kg, wanted a plain number of kg/m³"},
		{"rho and altitude", `{"speed": 30, "rho": 1.2, "altitude": "5m", ` + toSecond + `}`, "/rho: found rho beside altitude or temperature, wanted either the density or what it follows from"},
		{"rho", `{"speed": 30, "rho": 7, ` + toSecond + `}`, "/rho: found air density 7 kg/m³, wanted 0 to 2 kg/m³"},
		{"altitude", `{"speed": 30, "altitude": "12000m", ` + toSecond + `}`, "/altitude: found altitude 12000 m, wanted -1000 to 11000 m"},
		{"temperature", `{"speed": 30, "temperature": 68, ` + toSecond + `}`, "/temperature: found temperature 68 °C, wanted -40 to 60 °C"},
		{"temperature with a unit", `{"speed": 30, "temperature": "20m", ` + toSecond + `}`, "/temperature: found a value in m, wanted a plain number of °C"},
		{"time too short", `{"time": "0.1s", ` + toSecond + `}`, "/time: found time 0.1 s, wanted 0.30172152 to 10 s"},
		{"time of both", `{"speed": 30, "time": -1, ` + toSecond + `}`, "/time: found time -1 s, wanted 0.30172152 to 10 s"},
		{"too large a number", `{"speed": 1e400, ` + toSecond + `}`, "/speed: found the number 1e400"},
		{"not JSON", `{"speed": `, "wanted one JSON document"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := asJSON(t, tt.body); !strings.Contains(got, tt.want) || strings.HasPrefix(got, "{") {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

// A request built in Go may hold what JSON cannot.
func TestNotFinite(t *testing.T) {
	_, err := Answer(Request{Speed: SI(math.NaN()), Distance: SI(math.Inf(1)), ReleaseHeight: SI(1), TargetHeight: SI(1)})
	if err == nil || !strings.Contains(err.Error(), "/speed: found NaN") || !strings.Contains(err.Error(), "/distance: found +Inf") {
		t.Errorf("got %v", err)
	}
}

// Every name a RangeError may carry leads to a key of one of the requests.
func TestRangeKeysAreKeys(t *testing.T) {
	known := map[string]bool{"age": true}
	for _, k := range append((&Request{}).keys(), (&RaceRequest{}).keys()...) {
		known[k.key] = true
	}
	for name, key := range rangeKeys {
		if !known[key] {
			t.Errorf("%q leads to %q, which no request has", name, key)
		}
	}
}

func FuzzDecodeRequest(f *testing.F) {
	f.Add([]byte(`{"speed": "60mph", ` + toSecond + `}`))
	f.Add([]byte(`{"time": {"value": 1, "u": 0.1, "unit": "s"}, "distance": 20, "release_height": 2, "target_height": 0, "temperature": 20}`))
	f.Add([]byte(`{"pop": 2.05, "age": 12, "runner_may_lead": false, "exchange": "900ms"}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		if req, problems := DecodeRequest(data); len(problems) == 0 {
			if reply, err := Answer(req); err == nil {
				encode(t, reply)
			}
		}
		if req, problems := DecodeRaceRequest(data); len(problems) == 0 {
			if reply, err := RaceAnswer(req); err == nil {
				encode(t, reply)
			}
		}
	})
}

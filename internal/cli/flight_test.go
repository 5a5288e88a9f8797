package cli

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
)

// runAlone parses args for the flight and race commands alone and runs them;
// it returns what was printed and the exit code.
func runAlone(t *testing.T, args string) (out string, code int) {
	t.Helper()
	var c struct {
		Flight flightCmd `cmd:""`
		Race   raceCmd   `cmd:""`
	}
	var printed bytes.Buffer
	parser, err := kong.New(&c, kong.Writers(&printed, &printed))
	if err != nil {
		t.Fatal(err)
	}
	ctx, err := parser.Parse(strings.Fields(args))
	if err != nil {
		return err.Error(), exitUsage
	}
	err = ctx.Run(&streams{Out: &printed, Err: &printed})
	var f failure
	if errors.As(err, &f) {
		return printed.String() + f.text, f.code
	}
	if err != nil {
		t.Fatal(err)
	}
	return printed.String(), exitDone
}

const toSecond = " --distance 98.99ft --release-height 5ft --target-height 1ft "

func TestFlightJSON(t *testing.T) {
	for args, want := range map[string]string{
		"flight --speed 60mph" + toSecond:                            `{"carries":true,"time_s":1.2630877,"angle_deg":11.4943373,"speed_mps":26.8224,"arrival_mps":22.8225267,"u_s":0.0193564,`,
		"flight --speed 60mph --cd 0.35 --rho 1.2" + toSecond:        `"u_s":0,"u_mps":0,`,
		"flight --speed 40mph" + toSecond:                            `{"carries":false,"time_s":null,"angle_deg":null,"speed_mps":17.8816,"arrival_mps":null,"u_s":null,`,
		"flight --speed 60mph --mass 0.150kg" + toSecond:             `{"name":"mass","value":0.15,"u":0,"unit":"kg","source":"stated"}`,
		"flight --speed 60mph --circumference 9in" + toSecond:        `{"name":"circumference","value":0.2286,`,
		"flight --speed 60mph --lift 0.1" + toSecond:                 `{"name":"lift","value":0.1,`,
		"flight --speed 60mph --temperature 20" + toSecond:           `{"name":"rho","value":1.20408`,
		"flight --speed 60mph --altitude 500m" + toSecond:            `{"name":"rho","value":1.16727`,
		"flight --speed 60mph --u-speed 2mph" + toSecond:             `"u_mps":0.89408,`,
		"flight --time 1.26s --u-time 10ms" + toSecond:               `"u_s":0.01,`,
		"flight --speed 60mph --u-release-height 5cm" + toSecond:     `{"name":"release_height","value":1.524,"u":0.05,`,
		"flight --speed 60mph --u-target-height 5cm" + toSecond:      `{"name":"target_height","value":0.3048,"u":0.05,`,
		"flight --speed 60mph --cd 0.3 --u-cd 0.01" + toSecond:       `{"name":"cd","value":0.3,"u":0.01,`,
		"flight --speed 60mph --rho 1.1 --u-rho 0.01" + toSecond:     `{"name":"rho","value":1.1,"u":0.01,`,
		"flight --time 1.2630876875s --cd 0.35 --rho 1.2" + toSecond: `"speed_mps":26.8224,`,
	} {
		out, code := runAlone(t, args+" --format json")
		if code != exitDone || !strings.Contains(out, want) || strings.Count(out, "\n") != 1 {
			t.Errorf("%s\n got %d %s\nwant %s", args, code, out, want)
		}
	}
}

func TestFlightText(t *testing.T) {
	out, code := runAlone(t, "flight --speed 60mph"+toSecond)
	want := `The throw carries in 1.263 ± 0.019 s.
Launch: 26.8224 m/s (60.0 mph), 11.5° above level.
Arrival: 22.8 m/s (51.1 mph).
From:
  speed 26.8224 m/s (stated)
  distance 30.1722 m (stated)
  release height 1.524 m (stated)
  target height 0.3048 m (stated)
  cd 0.350 ± 0.050 (starting value; published values differ at youth speeds)
  rho 1.200 ± 0.040 kg/m³ (starting value: dry air near sea level at 20 degrees C, give or take 10)
  mass 0.145 kg (middle of the 5 to 5 1/4 oz of Official Baseball Rules 3.01, rounded)
  circumference 0.231775 m (middle of the 9 to 9 1/4 in of Official Baseball Rules 3.01)
  lift 0 (starting value: no lift)
`
	if code != exitDone || out != want {
		t.Errorf("exit %d\n%s\nwant\n%s", code, out, want)
	}
	out, code = runAlone(t, "flight --speed 40mph"+toSecond)
	if want := "The throw does not carry.\nNote: At this speed the ball meets the ground before"; code != exitDone || !strings.HasPrefix(out, want) {
		t.Errorf("exit %d\n%s", code, out)
	}
}

func TestFlightRefuses(t *testing.T) {
	for _, tt := range []struct {
		args, want string
		code       int
	}{
		{"flight" + toSecond, "--speed: found neither speed nor time", exitInput},
		{"flight --speed 60s" + toSecond, "--speed: found a time in s, wanted a speed, such as in m/s", exitInput},
		{"flight --speed=-3mph" + toSecond, "--speed: found speed -1.34112 m/s, wanted 0.1 to 100 m/s", exitInput},
		{"flight --speed 60mph --u-cd 0.1" + toSecond, "--u-cd: found an uncertainty without its value, wanted cd beside it (a default", exitInput},
		{"flight --speed 60mph --u-target-height 5s" + toSecond, "--u-target-height: found a time in s", exitInput},
		{"flight --speed 60" + toSecond, `"60" has no unit at its end`, exitUsage},
		{"flight --speed 60mph --format xml" + toSecond, "--format", exitUsage},
		{"flight --speed 60mph", "missing flags: --distance=LENGTH", exitUsage},
	} {
		out, code := runAlone(t, tt.args)
		if code != tt.code || !strings.Contains(out, tt.want) {
			t.Errorf("%s: exit %d %s, want %d %s", tt.args, code, out, tt.code, tt.want)
		}
	}
}

func TestWithU(t *testing.T) {
	for _, tt := range []struct {
		v, u float64
		unit string
		want string
	}{
		{1.26308, 0.01936, "s", "1.263 ± 0.019 s"},
		{1.26308, 0.0996, "s", "1.26 ± 0.10 s"},
		{26.8224, 0, "m/s", "26.8224 m/s"},
		{123.4, 12.3, "", "123 ± 12"},
		{5, 1e-12, "m", "5.0000000 ± 0.0000000 m"},
	} {
		if got := withU(tt.v, tt.u, tt.unit); got != tt.want {
			t.Errorf("withU(%g, %g) = %q, want %q", tt.v, tt.u, got, tt.want)
		}
	}
}

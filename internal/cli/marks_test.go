package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
	"github.com/google/go-cmp/cmp"
)

// runMarks runs the marks or sheet command alone; it returns both streams and
// the exit code.
func runMarks(t *testing.T, stdin string, args ...string) (out, errs string, code int) {
	t.Helper()
	var c struct {
		Marks marksCmd `cmd:""`
		Sheet sheetCmd `cmd:""`
	}
	var printed, told bytes.Buffer
	parser, err := kong.New(&c, kong.Writers(&printed, &told))
	if err != nil {
		t.Fatal(err)
	}
	ctx, err := parser.Parse(args)
	if err != nil {
		return "", err.Error(), exitUsage
	}
	err = ctx.Run(&streams{In: strings.NewReader(stdin), Out: &printed, Err: &told})
	var f failure
	if errors.As(err, &f) {
		return printed.String(), told.String() + f.text, f.code
	}
	if err != nil {
		t.Fatal(err)
	}
	return printed.String(), told.String(), exitDone
}

const trackFile = "../../testdata/marks/track.json"

// The text for the invented player is a golden; UPDATE_SHEETS=1 writes it anew.
func TestMarksText(t *testing.T) {
	out, errs, code := runMarks(t, "", "marks", trackFile)
	if code != exitDone || errs != "" {
		t.Fatalf("exit %d: %s", code, errs)
	}
	const file = "../../testdata/marks/track.txt"
	if os.Getenv("UPDATE_SHEETS") != "" {
		if err := os.WriteFile(file, []byte(out), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), out); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestMarksJSON(t *testing.T) {
	out, _, code := runMarks(t, "", "marks", "--format", "json", trackFile)
	var reply marksReply
	if err := json.Unmarshal([]byte(out), &reply); err != nil || code != exitDone {
		t.Fatalf("exit %d: %v", code, err)
	}
	if reply.Rubric != "throw-to-second" || reply.Player != "P-2001" || len(reply.Reps) != 1 {
		t.Fatalf("%+v", reply)
	}
	units := map[string]string{}
	for _, m := range reply.Reps[0].Measures {
		units[m.Measure] = m.Unit
		if m.U <= 0 || !strings.HasPrefix(m.From, "marks, side: ") {
			t.Errorf("%+v has no uncertainty or source", m)
		}
		if math.Abs(m.Value*1e7-math.Round(m.Value*1e7)) > 1e-4 {
			t.Errorf("%s: %v has more than 7 decimals", m.Measure, m.Value)
		}
	}
	for measure, want := range map[string]string{"throw_speed": "mph", "flight_time": "s", "knee_bend_plant": "deg", "drawback": "stature"} {
		if units[measure] != want {
			t.Errorf("%s in %q, want %q", measure, units[measure], want)
		}
	}
}

// A stated measure does not hide the derived one.
func TestMarksBesideStated(t *testing.T) {
	doc := `{"rubric": "throw-to-second", "player": {"ref": "P-1", "age": 14, "stature_cm": 160}, "on": "2026-05-09",
		"reps": [{"rep": 1, "measures": {"exchange_time": 1.1}, "marks": {"fps": 120, "frames": {"catch": 118, "release": 238}}}, {"rep": 2}]}`
	out, errs, code := runMarks(t, doc, "marks", "-")
	if code != exitDone || !strings.Contains(out, "exchange_time          1.0000 ± 0.0034 s") || !strings.Contains(out, "rep 2: no measure from marks") {
		t.Errorf("exit %d\n%s%s", code, out, errs)
	}
}

func TestMarksErrors(t *testing.T) {
	for _, c := range []struct {
		stdin string
		args  []string
		code  int
		says  string
	}{
		{"", []string{"marks", "../../testdata/marks/bad/order-catch-and-transfer-swapped.json"}, exitInput, "probably catch and transfer are swapped"},
		{"", []string{"marks", "nowhere.json"}, exitCannot, "nowhere.json"},
		{"{", []string{"marks", "-"}, exitInput, "not-json"},
		{`{"player": {"ref": "P-1", "age": 14}, "on": "2026-05-09", "reps": []}`, []string{"marks", "-"}, exitInput, "rubric"},
		{"", []string{"marks"}, exitUsage, "file"},
		{"", []string{"marks", "--format", "html", trackFile}, exitUsage, "text"},
		{"", []string{"sheet", "throw-to-fourth"}, exitUsage, "throw-to-second"},
		{"", []string{"sheet", "./none.yaml"}, exitCannot, "none.yaml"},
	} {
		out, errs, code := runMarks(t, c.stdin, c.args...)
		if code != c.code || !strings.Contains(errs, c.says) || out != "" {
			t.Errorf("%v: exit %d, want %d; %q does not say %q; out %q", c.args, code, c.code, errs, c.says, out)
		}
	}
}

func TestSheetFormats(t *testing.T) {
	for format, want := range map[string]string{"text": "FORM\n", "json": `{"rubric":"throw-to-second",`, "html": "<!doctype html>"} {
		out, errs, code := runMarks(t, "", "sheet", "--format", format, "throw-to-second")
		if code != exitDone || !strings.Contains(out, want) {
			t.Errorf("%s: exit %d %s, no %q", format, code, errs, want)
		}
	}
}

package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
)

// runGroup runs tryout and plan as the program does; in is standard input.
func runGroup(t *testing.T, in string, args ...string) (out, errs string, code int) {
	t.Helper()
	var c struct {
		Tryout tryoutCmd `cmd:""`
		Plan   planCmd   `cmd:""`
	}
	parser, err := kong.New(&c)
	if err != nil {
		t.Fatal(err)
	}
	ctx, err := parser.Parse(args)
	if err != nil {
		return "", err.Error(), exitUsage
	}
	var printed, wrong bytes.Buffer
	err = ctx.Run(&streams{In: strings.NewReader(in), Out: &printed, Err: &wrong})
	var f failure
	switch {
	case errors.As(err, &f):
		return printed.String(), wrong.String() + f.text, f.code
	case err != nil:
		t.Fatal(err)
	}
	return printed.String(), wrong.String(), exitDone
}

// inFolder writes files into a folder of their own and returns its path.
func inFolder(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// The table of Shrout & Fleiss 1979 as grades: six players, four evaluators.
const judgesCSV = `bib,evaluator,item,grade
1,E1,arm,9
1,E2,arm,2
1,E3,arm,5
1,E4,arm,8
2,E1,arm,6
2,E2,arm,1
2,E3,arm,3
2,E4,arm,2
3,E1,arm,8
3,E2,arm,4
3,E3,arm,6
3,E4,arm,8
4,E1,arm,7
4,E2,arm,1
4,E3,arm,2
4,E4,arm,6
5,E1,arm,10
5,E2,arm,5
5,E3,arm,6
5,E4,arm,9
6,E1,arm,6
6,E2,arm,2
6,E3,arm,4
6,E4,arm,7
`

func TestTryoutPrintsItsDocument(t *testing.T) {
	out, errs, code := runGroup(t, judgesCSV, "tryout", "--format", "json", "--best", "2", "-")
	if code != exitDone || errs != "" {
		t.Fatalf("code %d, %s", code, errs)
	}
	for _, part := range []string{
		`"icc_2_1":{"value":0.2897638,"low":0.0187865,"high":0.7610844}`,
		`"icc_3_1":{"value":0.7148407,"low":0.3424648,"high":0.9458583}`,
		`"kappa":null`, `{"item":"arm","evaluator":"E1","value":2.375,"u":0.3569742}`,
		`"standing":[{"bib":"5","items":{"arm":{"adjusted":7.5,"raw":7.5,"u":0.5048377}},"score":`, `"missing":[]`, `"flags":[]`, `"notes":[]`,
	} {
		if !strings.Contains(out, part) {
			t.Errorf("no %s in %s", part, out)
		}
	}
	var doc map[string]any
	if err := json.Unmarshal([]byte(out), &doc); err != nil || strings.Count(out, "\n") != 1 {
		t.Errorf("not one line of JSON: %v", err)
	}
}

func TestTryoutInWords(t *testing.T) {
	out, _, code := runGroup(t, "", "tryout", "--best", "4", "--looks", "1", "--weights", "receiving=0.4,throwing=0.6", "../../testdata/tryouts/spring.csv")
	if code != exitDone {
		t.Fatalf("code %d", code)
	}
	for _, part := range []string{"How far the evaluators agree", "receiving (incomplete design): two evaluators of the same player would differ by",
		"hand-protected (incomplete design): two evaluators say the same of a player", "Cohen's κ", "Krippendorff's α", "How strict each one is", "best 4", " ± ",
		"Blind looks to take next", "hand-protected has no weight and does not count", "without E1"} {
		if !strings.Contains(out, part) {
			t.Errorf("no %q in\n%s", part, out)
		}
	}
	if strings.Contains(out, "NaN") {
		t.Errorf("a NaN in\n%s", out)
	}
}

func TestTryoutSaysUnknownWhereNothingIsKnown(t *testing.T) {
	out, _, code := runGroup(t, "bib,evaluator,item,grade\n1,E1,arm,3\n2,E1,arm,4\n", "tryout", "-")
	if code != exitDone || !strings.Contains(out, "+0.00 ± unknown") || !strings.Contains(out, "nobody to agree with") || strings.Contains(out, "NaN") {
		t.Errorf("code %d\n%s", code, out)
	}
}

func TestTryoutGoesWrong(t *testing.T) {
	for _, c := range []struct {
		name, in string
		args     []string
		code     int
		errs     []string
		answers  bool
	}{
		{"a bad line", strings.Replace(judgesCSV, "5,E4,arm,9", "5,E4,arm,nine", 1), nil, exitInput,
			[]string{"-:21:10: found nine; wanted a number from -1e9 to 1e9, yes or no", "21 | 5,E4,arm,nine", "lines that are wrong (1)"}, true},
		{"an unconnected panel", "bib,evaluator,item,grade\n1,E1,arm,3\n2,E2,arm,4\n", nil, exitInput,
			[]string{"unconnected: arm", "E1 with players 1; E2 with players 2", "joined when E1 grades player 2"}, true},
		{"no grades", "bib,evaluator,item,grade\n", nil, exitInput, []string{"found no grade under the header"}, false},
		{"no header", "1,E1,arm,3\n", nil, exitInput, []string{"holds no grade that can be used", "unknown-column"}, false},
		{"a weight for nothing", judgesCSV, []string{"--weights", "amr=1"}, exitUsage, []string{"--weights", "did you mean \"arm\"?"}, false},
		{"a weight that is no number", judgesCSV, []string{"--weights", "arm=x"}, exitUsage, []string{"weights"}, false},
		{"the best none", judgesCSV, []string{"--best", "0"}, exitUsage, []string{"--best: found 0, wanted 1 or more"}, false},
		{"more best than players", judgesCSV, []string{"--best", "7"}, exitUsage, []string{"--best: found 7, wanted from 1 to 6"}, false},
		{"an unknown format", judgesCSV, []string{"--format", "xml"}, exitUsage, []string{"format"}, false},
	} {
		out, errs, code := runGroup(t, c.in, append(append([]string{"tryout"}, c.args...), "-")...)
		if code != c.code || (out != "") != c.answers {
			t.Errorf("%s: code %d, answer %q", c.name, code, out)
		}
		for _, part := range c.errs {
			if !strings.Contains(errs, part) {
				t.Errorf("%s: no %q in %s", c.name, part, errs)
			}
		}
	}
	if _, errs, code := runGroup(t, "", "tryout", filepath.Join(t.TempDir(), "none.csv")); code != exitCannot || !strings.Contains(errs, "none.csv") {
		t.Errorf("no file: code %d, %s", code, errs)
	}
	if out, _, code := runGroup(t, "bib,evaluator,item,grade\n1,E1,arm,3\n2,E2,arm,4\n", "tryout", "--format", "json", "-"); code != exitInput ||
		!strings.Contains(out, `"standing":[]`) || !strings.Contains(out, `"code":"unconnected"`) || !strings.Contains(out, `"parts":[{"evaluators":["E1"],"players":["1"]}`) {
		t.Errorf("unconnected: code %d, %s", code, out)
	}
}

package pages

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine/rubric"
)

const goodRubrics = "../../../testdata/rubrics/good"

// limitsOf lays out the limits of a rubric that others may extend.
func limitsOf(t *testing.T, name string) Limits {
	t.Helper()
	source := func(name string) ([]byte, bool) {
		b, err := os.ReadFile(filepath.Join(goodRubrics, name+".yaml"))
		return b, err == nil
	}
	b, ok := source(name)
	if !ok {
		t.Fatalf("no rubric %s", name)
	}
	r, problems := rubric.Parse(name, b, source)
	if r == nil {
		t.Fatal(problems)
	}
	return NewLimits(r, b)
}

// told is a row's cells in short: the band, what stands there, and whether it
// can be set.
func told(r LimitRow) string {
	var list []string
	for _, c := range r.Cells {
		text := c.Band + ": " + strings.Join(c.Values, " to ")
		if c.Fixed {
			text += " fixed " + c.Unit
		}
		list = append(list, strings.TrimSpace(text))
	}
	return strings.Join(list, ", ")
}

// laid is what the editor lays out, a line a row.
func laid(l Limits) []string {
	list := []string{l.Name + " < " + l.Extends, strings.Join(l.Bands, " ")}
	for _, r := range l.Rows {
		list = append(list, strings.Join([]string{r.Fault, r.Title, r.Measure, string(r.Kind), r.Unit, told(r), r.Note, r.Source}, " | "))
	}
	return list
}

// TestNewLimits: every kind of rule as the editor lays it out: numbers as the
// file writes them, in its unit, and the condition where there is no number.
// What is wanted was read off testdata/rubrics/good by hand. In an extension its
// own numbers can be set, and those it inherits stand fixed.
func TestNewLimits(t *testing.T) {
	for name, want := range map[string][]string{
		"every-key": {
			"every-key < ",
			"8-10 11+",
			`tall | Tall | Hip | at_most | stature | 8-10: 0.40, 11+: 0.38 | stance == "two-feet" || age > 9 | body segments`,
			"closed | Closed | Mitt | must_be |  |  |  | common practice",
			"poor | Poor | Set-up | at_least |  | 8-10: 3.5, 11+: 3.5 |  | ",
			"late | Late |  |  |  |  | exchange_time > 1.5 && flight_time(goal_speed, throw_distance) < 2 | ",
			"long | Long | Twice | between | 1 | 8-10: 2 to 4.5, 11+: 2 to 4.5 |  | ",
			"slow | Slow | Exchange | at_most | ms | 8-10: 1350, 11+: 1200 |  | stopwatch",
			"later | Later |  |  |  |  | exchange_time > 2 | ",
		},
		"over-it": {
			"over-it < every-key",
			"8-10 11-12",
			`tall | Tall | Hip | at_most | stature | 8-10: 0.4 fixed, 11-12: 0.37 | stance == "two-feet" || age > 9 | body segments`,
			"closed | Closed | Mitt | must_be |  |  |  | common practice",
			"late | Late |  |  |  |  | exchange_time > 1.5 && flight_time(goal_speed, throw_distance) < 2 | ",
			"long | Long | Twice | at_most | 1 | 8-10: 4, 11-12: 4 |  | ",
			"slow | Slow | Exchange | at_most | s | 8-10: 1.3, 11-12: 1.3 |  | stopwatch",
			"later | Later |  |  |  |  | exchange_time > 2 | ",
		},
	} {
		if diff := cmp.Diff(want, laid(limitsOf(t, name))); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
	if l := limitsOf(t, "over-it"); !strings.Contains(l.Source, "extends: every-key") {
		t.Error("the file's text is not there")
	}
}

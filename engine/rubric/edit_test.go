package rubric

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"rootcue/engine/place"
)

// commented is a rubric whose limits are written in every way there is.
const commented = `# Ours.   Do not lose this.
rubric: commented
title:   "Much said"      # two blanks too many
bands:
  "8-10":  {ages: [8, 10]}   # young
  "11-12": {ages: [11, 12]}
measures: {
  hip: {title: Hip, unit: stature, plausible: [0, 1]},   # a flow map over lines
  turn: {title: Turn, unit: deg} }

faults:
  tall:
    title: Ünder the roof — 5°
    measure: hip
    at_most: {"8-10": 0.40, "11-12": 3.8e-1, source: "0.40 is a guess"}  # 0.40 again
  deep:
    title: Deep
    measure: hip
    at_least:
      # for the small
      "8-10": 0.24    # metres? no, shares
      # for the others
      "11-12":   +0.25
  turned: {title: Turned, measure: turn, between: {"8-10": [-10, 30], "11-12": [ -10 , 25 ]}}
  same:
    title: One for all
    measure: turn
    at_most: 50   # all bands
  span: {title: Span, measure: turn, between: [-60, 90]}
  under: {title: Under value, measure: turn, at_most: {value: {"8-10": 61, "11-12": 62}, source: common practice}}
  alone: {title: Alone, measure: turn, at_most: {value: 63, unit: deg}}
  cond: {title: Cond, when: hip > 0.4}
`

func f(v float64) *float64 { return &v }

// TestSetLimits shows the lines that change, and only those.
func TestSetLimits(t *testing.T) {
	tests := []struct {
		name  string
		edits []LimitEdit
		want  []string // changed lines, old and new in turn
	}{
		{"in a flow map", []LimitEdit{{Fault: "tall", Band: "8-10", AtMost: f(0.39)}}, []string{
			`    at_most: {"8-10": 0.40, "11-12": 3.8e-1, source: "0.40 is a guess"}  # 0.40 again`,
			`    at_most: {"8-10": 0.39, "11-12": 3.8e-1, source: "0.40 is a guess"}  # 0.40 again`}},
		{"in a block map", []LimitEdit{{Fault: "deep", Band: "11-12", AtLeast: f(0.2)}}, []string{
			`      "11-12":   +0.25`,
			`      "11-12":   0.2`}},
		{"both ends", []LimitEdit{{Fault: "turned", Band: "11-12", Between: &[2]float64{-12.5, 20}}}, []string{
			`  turned: {title: Turned, measure: turn, between: {"8-10": [-10, 30], "11-12": [ -10 , 25 ]}}`,
			`  turned: {title: Turned, measure: turn, between: {"8-10": [-10, 30], "11-12": [ -12.5 , 20 ]}}`}},
		{"one band of a number for all", []LimitEdit{{Fault: "same", Band: "11-12", AtMost: f(45)}}, []string{
			`    at_most: 50   # all bands`,
			`    at_most: {"8-10": 50, "11-12": 45}   # all bands`}},
		{"two bands of a number for all", []LimitEdit{{Fault: "same", Band: "11-12", AtMost: f(45)}, {Fault: "same", Band: "8-10", AtMost: f(55)}}, []string{
			`    at_most: 50   # all bands`,
			`    at_most: {"8-10": 55, "11-12": 45}   # all bands`}},
		{"one band of two ends for all", []LimitEdit{{Fault: "span", Band: "8-10", Between: &[2]float64{-50, 80}}}, []string{
			`  span: {title: Span, measure: turn, between: [-60, 90]}`,
			`  span: {title: Span, measure: turn, between: {"8-10": [-50, 80], "11-12": [-60, 90]}}`}},
		{"bands under value", []LimitEdit{{Fault: "under", Band: "8-10", AtMost: f(60)}}, []string{
			`  under: {title: Under value, measure: turn, at_most: {value: {"8-10": 61, "11-12": 62}, source: common practice}}`,
			`  under: {title: Under value, measure: turn, at_most: {value: {"8-10": 60, "11-12": 62}, source: common practice}}`}},
		{"a number under value", []LimitEdit{{Fault: "alone", Band: "8-10", AtMost: f(60)}}, []string{
			`  alone: {title: Alone, measure: turn, at_most: {value: 63, unit: deg}}`,
			`  alone: {title: Alone, measure: turn, at_most: {value: {"8-10": 60, "11-12": 63}, unit: deg}}`}},
		{"nothing", nil, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			out, problems := SetLimits("f", []byte(commented), nil, tt.edits)
			if out == nil {
				t.Fatal(place.Render(problems, func(string) []byte { return []byte(commented) }))
			}
			if diff := cmp.Diff(tt.want, changedLines(t, commented, string(out))); diff != "" {
				t.Error(diff)
			}
			if r, problems := Parse("f", out, nil); r == nil {
				t.Error(place.Render(problems, func(string) []byte { return out }))
			}
		})
	}
}

func changedLines(t *testing.T, before, after string) []string {
	t.Helper()
	a, b := strings.Split(before, "\n"), strings.Split(after, "\n")
	if len(a) != len(b) {
		t.Fatalf("%d lines became %d", len(a), len(b))
	}
	var changed []string
	for i := range a {
		if a[i] != b[i] {
			changed = append(changed, a[i], b[i])
		}
	}
	return changed
}

func TestSetLimitsRefuses(t *testing.T) {
	tests := []struct {
		name string
		edit LimitEdit
		want string
	}{
		{"unknown fault", LimitEdit{Fault: "tal", Band: "8-10", AtMost: f(1)}, `/0/fault: found the fault "tal"; wanted a fault or outcome of commented [unknown-fault]`},
		{"unknown band", LimitEdit{Fault: "tall", Band: "8-11", AtMost: f(1)}, `/0/band: found the band "8-11"; wanted one of the bands 8-10, 11-12 [unknown-band]`},
		{"another kind", LimitEdit{Fault: "tall", Band: "8-10", AtLeast: f(1)}, `/0/at_least: found at_least for tall; wanted at_most, which the fault has [wrong-limit]`},
		{"two kinds", LimitEdit{Fault: "tall", Band: "8-10", AtLeast: f(1), AtMost: f(1)}, `/0: found 2 limits; wanted one of at_most, at_least and between [one-of]`},
		{"no kind", LimitEdit{Fault: "tall", Band: "8-10"}, `/0: found 0 limits; wanted one of at_most, at_least and between [one-of]`},
		{"a condition", LimitEdit{Fault: "cond", Band: "8-10", AtMost: f(1)}, `/0/fault: found the fault cond, which has no number as its limit; wanted a fault with at_most, at_least or between [limit-missing]`},
		{"not finite", LimitEdit{Fault: "tall", Band: "8-10", AtMost: f(math.Inf(1))}, `/0/at_most: found a limit that is not finite; wanted a finite number [not-finite]`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			out, problems := SetLimits("f", []byte(commented), nil, []LimitEdit{tt.edit})
			if out != nil || len(problems) != 1 || problems[0].Summary() != tt.want {
				t.Errorf("got %v\nwant %s", problems, tt.want)
			}
		})
	}
	twice := []LimitEdit{{Fault: "tall", Band: "8-10", AtMost: f(0.3)}, {Fault: "tall", Band: "8-10", AtMost: f(0.4)}}
	if _, problems := SetLimits("f", []byte(commented), nil, twice); len(problems) != 1 || problems[0].Code != "repeated-edit" || problems[0].Pointer != "/1" {
		t.Errorf("twice: got %v", problems)
	}
	if out, problems := SetLimits("f", []byte("rubric: x"), nil, nil); out != nil || !place.Failed(problems) {
		t.Error("a faulty file was edited")
	}
}

// TestSetLimitsInherited: what stands in another file is not edited here.
func TestSetLimitsInherited(t *testing.T) {
	others := func(string) ([]byte, bool) { return []byte(commented), true }
	child := "rubric: child\nextends: commented\nfaults: {tall: {at_most: {\"8-10\": 0.41}}, under: {at_most: {value: {\"8-10\": 60}}}}\n"
	out, problems := SetLimits("f", []byte(child), others, []LimitEdit{{Fault: "tall", Band: "8-10", AtMost: f(0.42)}})
	if want := strings.Replace(child, "0.41", "0.42", 1); string(out) != want {
		t.Errorf("got %s, %v", out, problems)
	}
	for _, edit := range []LimitEdit{{Fault: "tall", Band: "11-12", AtMost: f(0.3)}, {Fault: "deep", Band: "8-10", AtLeast: f(0.3)}, {Fault: "under", Band: "11-12", AtMost: f(59)}} {
		out, problems = SetLimits("f", []byte(child), others, []LimitEdit{edit})
		if out != nil || len(problems) != 1 || problems[0].Code != "inherited" {
			t.Errorf("%v: got %s, %v", edit, out, problems)
		}
	}
}

// TestSetLimitsNotInPlace: a list for all bands that is written over lines, or
// with a comment inside that would be lost, is left to the author.
func TestSetLimitsNotInPlace(t *testing.T) {
	src := strings.Replace(commented, "between: [-60, 90]}", "between: [-60,\n    # why\n    90]}", 1)
	src += "  block:\n    title: B\n    measure: turn\n    between:\n      - 1\n      - 2\n"
	for _, fault := range []string{"span", "block"} {
		out, problems := SetLimits("f", []byte(src), nil, []LimitEdit{{Fault: fault, Band: "8-10", Between: &[2]float64{1, 2}}})
		if out != nil || len(problems) != 1 || problems[0].Code != "not-editable" {
			t.Errorf("%s: got %s, %v", fault, out, problems)
		}
	}
}

// TestSetLimitsManyTimes: after twenty edits, one at a time, the file differs
// only in the numbers that were edited.
func TestSetLimitsManyTimes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		src := commented
		last := map[string]string{}
		for range 20 {
			fault := rapid.SampledFrom([]string{"tall", "deep", "turned"}).Draw(t, "fault")
			band := rapid.SampledFrom([]string{"8-10", "11-12"}).Draw(t, "band")
			v := float64(rapid.IntRange(1, 999).Draw(t, "thousandths")) / 1000
			edit := LimitEdit{Fault: fault, Band: band}
			switch fault {
			case "tall":
				edit.AtMost = &v
			case "deep":
				edit.AtLeast = &v
			default:
				edit.Between = &[2]float64{-v, v}
			}
			out, problems := SetLimits("f", []byte(src), nil, []LimitEdit{edit})
			if out == nil {
				t.Fatal(problems)
			}
			src, last[fault+" "+band] = string(out), number(v)
		}
		// The same file, written with the last number of each limit.
		put := func(key, old string) string {
			if v, edited := last[key]; edited {
				return v
			}
			return old
		}
		ends := func(key, lo, hi string) (string, string) {
			if v, edited := last[key]; edited {
				return "-" + v, v
			}
			return lo, hi
		}
		lo1, hi1 := ends("turned 8-10", "-10", "30")
		lo2, hi2 := ends("turned 11-12", "-10", "25")
		want := strings.NewReplacer(
			`{"8-10": 0.40, "11-12": 3.8e-1,`, fmt.Sprintf(`{"8-10": %s, "11-12": %s,`, put("tall 8-10", "0.40"), put("tall 11-12", "3.8e-1")),
			`"8-10": 0.24 `, fmt.Sprintf(`"8-10": %s `, put("deep 8-10", "0.24")),
			`"11-12":   +0.25`, fmt.Sprintf(`"11-12":   %s`, put("deep 11-12", "+0.25")),
			`{"8-10": [-10, 30], "11-12": [ -10 , 25 ]}`, fmt.Sprintf(`{"8-10": [%s, %s], "11-12": [ %s , %s ]}`, lo1, hi1, lo2, hi2),
		).Replace(commented)
		if diff := cmp.Diff(want, src); diff != "" {
			t.Fatal(diff)
		}
	})
}

package rubric

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"go.yaml.in/yaml/v3"
)

// A place where a shipped rubric says a limit, as a YAML library reads it.
type limitPlace struct {
	section, fault, band string // a band of "": one limit serves all
	kind                 LimitKind
	values               []float64
}

// limitPlaces lists the limits that stand in a file itself.
func limitPlaces(t interface{ Fatal(...any) }, src []byte, bands []Band) (places []limitPlace) {
	var file map[string]any
	if err := yaml.Unmarshal(src, &file); err != nil {
		t.Fatal(err)
	}
	for _, section := range []string{"faults", "outcomes"} {
		rules, _ := file[section].(map[string]any)
		for fault, rule := range rules {
			for _, kind := range []LimitKind{AtMost, AtLeast, Between} {
				limit, given := rule.(map[string]any)[string(kind)]
				if !given {
					continue
				}
				limits, byBand := limit.(map[string]any)
				if v, wrapped := limits["value"]; wrapped {
					limit = v
					limits, byBand = v.(map[string]any)
				}
				if !byBand {
					places = append(places, limitPlace{section, fault, "", kind, numbersOf(limit)})
					continue
				}
				for _, b := range bands {
					if v, has := limits[b.Name]; has {
						places = append(places, limitPlace{section, fault, b.Name, kind, numbersOf(v)})
					}
				}
			}
		}
	}
	return places
}

func numbersOf(v any) []float64 {
	switch v := v.(type) {
	case int:
		return []float64{float64(v)}
	case float64:
		return []float64{v}
	}
	var all []float64
	for _, one := range v.([]any) {
		all = append(all, numbersOf(one)...)
	}
	return all
}

// edit is the change of a limit to other values.
func (p limitPlace) edit(band string, values []float64) LimitEdit {
	e := LimitEdit{Fault: p.fault, Band: band}
	switch p.kind {
	case AtMost:
		e.AtMost = &values[0]
	case AtLeast:
		e.AtLeast = &values[0]
	default:
		e.Between = &[2]float64{values[0], values[1]}
	}
	return e
}

// wider draws values that let a little more pass, so that the file stays good.
func (p limitPlace) wider(chance *rand.Rand) []float64 {
	out := make([]float64, len(p.values))
	for i, v := range p.values {
		by := float64(1+chance.IntN(9)) / 1000
		if p.kind == AtLeast || p.kind == Between && i == 0 {
			by = -by
		}
		out[i] = math.Round((v+by)*1e6) / 1e6
	}
	return out
}

var numeral = regexp.MustCompile(`[+-]?[0-9]+(\.[0-9]+)?`)

// Twenty changes of any limits of any shipped rubric, of one number or two, for
// any band: what is no number stays to the byte, only the numbers asked for
// change, to what was asked for, and changed back the file is what it was, but that
// a number written 0.40 is 0.4 then.
func TestSetLimitsOfShippedRubrics(t *testing.T) {
	files, err := filepath.Glob("../../rubrics/*.yaml")
	if err != nil || len(files) < 5 {
		t.Fatalf("%d shipped rubrics, %v", len(files), err)
	}
	others := func(name string) ([]byte, bool) {
		b, err := os.ReadFile(filepath.Join("../../rubrics", name+".yaml"))
		return b, err == nil
	}
	seen := map[LimitKind]int{}
	for _, file := range files {
		original, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		r, problems := Parse(file, original, others)
		if r == nil {
			t.Fatal(problems)
		}
		places := limitPlaces(t, original, r.Bands)
		for _, p := range places {
			seen[p.kind]++
		}
		t.Run(r.Name, func(t *testing.T) {
			if len(places) == 0 {
				return // it takes all its limits from another
			}
			shared(t, original, others, places, r.Bands)
			chance := rand.New(rand.NewPCG(1, uint64(len(original))))
			for range 3 {
				changeAndBack(t, chance, original, others, places, r.Bands)
			}
		})
	}
	for _, kind := range []LimitKind{AtMost, AtLeast, Between} {
		if seen[kind] == 0 {
			t.Errorf("no shipped limit is %s", kind)
		}
	}
}

func changeAndBack(t *testing.T, chance *rand.Rand, original []byte, others func(string) ([]byte, bool), places []limitPlace, bands []Band) {
	src, last := original, map[string]limitPlace{}
	put := func(edits ...LimitEdit) {
		t.Helper()
		out, problems := SetLimits("f", src, others, edits)
		if out == nil {
			t.Fatal(edits, problems)
		}
		src = out
	}
	own := slices.DeleteFunc(slices.Clone(places), func(p limitPlace) bool { return p.band == "" }) // for the others see shared
	for range 20 {
		p := own[chance.IntN(len(own))]
		changed := p
		changed.values = p.wider(chance)
		put(p.edit(p.band, changed.values))
		last[p.fault+" "+p.band] = changed
	}
	if a, b := numeral.Split(string(original), -1), numeral.Split(string(src), -1); !cmp.Equal(a, b) {
		t.Fatalf("more than numbers changed:\n%s", cmp.Diff(a, b))
	}
	was, is := numeral.FindAllString(string(original), -1), numeral.FindAllString(string(src), -1)
	most := 0
	for _, p := range last {
		most += len(p.values)
	}
	differ := 0
	for i := range was {
		if was[i] != is[i] {
			differ++
		}
	}
	if differ != most {
		t.Fatalf("%d numbers differ, %d were changed", differ, most)
	}
	for _, p := range limitPlaces(t, src, bands) { // as the library reads the outcome
		if changed, is := last[p.fault+" "+p.band]; is && !cmp.Equal(p.values, changed.values) {
			t.Fatalf("%s of %s is %v, wanted %v", p.fault, p.band, p.values, changed.values)
		}
	}
	var back []LimitEdit
	for _, p := range places {
		if _, is := last[p.fault+" "+p.band]; is {
			back = append(back, p.edit(p.band, p.values))
		}
	}
	put(back...)                          // all at once
	shortest := func(src []byte) string { // 0.40 as 0.4
		return numeral.ReplaceAllStringFunc(string(src), func(n string) string {
			if strings.Contains(n, ".") {
				n = strings.TrimSuffix(strings.TrimRight(n, "0"), ".")
			}
			return n
		})
	}
	if diff := cmp.Diff(shortest(original), shortest(src)); diff != "" {
		t.Fatalf("changed back it is not what it was:\n%s", diff)
	}
}

// shared wants a limit that serves all bands to become one of each, alone.
func shared(t *testing.T, original []byte, others func(string) ([]byte, bool), places []limitPlace, bands []Band) {
	for _, p := range places {
		if p.band != "" {
			continue
		}
		for _, b := range bands {
			out, problems := SetLimits("f", original, others, []LimitEdit{p.edit(b.Name, p.values)})
			if out == nil {
				t.Fatal(p, problems)
			}
			was, is := strings.Split(string(original), "\n"), strings.Split(string(out), "\n")
			differ := 0
			for i := range was {
				if was[i] != is[i] {
					differ++
				}
			}
			if len(was) != len(is) || differ != 1 {
				t.Errorf("%s for %s: %d lines differ", p.fault, b.Name, differ)
			}
		}
	}
}

package api_test

import (
	"context"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"rootcue/api"
	"rootcue/engine/place"
)

const smallRubric = `rubric: quick-hands
title: Quick hands
bands: {"11-12": {ages: [11, 12]}}
measures: {change_time: {title: Change, unit: s, plausible: [0.05, 2]}}
faults: {slow-change: {title: The change is slow, measure: change_time, at_most: {"11-12": 0.35}}}
`

const smallPolicy = `policy: our-league
title: Our league
source: {by: Our league, edition: "2026", read: 2026-01-10}
pitching: [{ages: [9, 12], most_a_day: 60}]
`

func folder(files map[string]string) fstest.MapFS {
	out := fstest.MapFS{}
	for name, text := range files {
		out[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return out
}

func TestShippedShelf(t *testing.T) {
	s := api.ShippedShelf()
	names, err := s.Names(context.Background())
	if want := []string{"blocking", "receiving", "throw-to-first", "throw-to-second", "throw-to-third"}; err != nil || !slices.Equal(names, want) {
		t.Errorf("rubrics %v (%v), wanted %v", names, err, want)
	}
	for _, name := range names {
		p, err := s.Rubric(context.Background(), name)
		if err != nil || p == nil || p.Rubric.Name != name || p.Version != 1 {
			t.Errorf("%s: %v, %v", name, p, err)
		}
	}
	if p, err := s.Rubric(context.Background(), "no-such"); p != nil || err != nil {
		t.Errorf("a rubric that is not there: %v, %v", p, err)
	}
	for _, name := range s.PolicyNames() {
		if p, err := s.Policy(name); p == nil || err != nil || p.Name != name {
			t.Errorf("policy %s: %v, %v", name, p, err)
		}
	}
	if p, err := s.Policy("no-such"); p != nil || err != nil {
		t.Errorf("a policy that is not there: %v, %v", p, err)
	}
}

func TestShelfOfAFolder(t *testing.T) {
	changed := strings.Replace(smallRubric, "quick-hands", "receiving", 1)
	s, slips, err := api.NewShelf(folder(map[string]string{
		"quick-hands.yaml": smallRubric, "receiving.yaml": changed, "workload/our-league.yaml": smallPolicy, "notes.txt": "no rubric",
		"ours.yaml": "rubric: ours\nextends: throw-to-second\ntitle: Ours\n",
	}))
	if err != nil || place.Failed(slips) {
		t.Fatalf("%v, %v", slips, err)
	}
	names, _ := s.Names(context.Background())
	if want := []string{"blocking", "ours", "quick-hands", "receiving", "throw-to-first", "throw-to-second", "throw-to-third"}; !slices.Equal(names, want) {
		t.Errorf("rubrics %v, wanted %v", names, want)
	}
	if p, err := s.Rubric(context.Background(), "receiving"); err != nil || p.Rubric.Title != "Quick hands" {
		t.Errorf("the folder's rubric does not win: %v, %v", p, err)
	}
	if p, err := s.Rubric(context.Background(), "ours"); err != nil || len(p.Rubric.Faults) < 20 {
		t.Errorf("extended: %v, %v", p, err)
	}
	if p, err := s.Policy("our-league"); err != nil || p == nil {
		t.Errorf("the folder's policy: %v, %v", p, err)
	}
}

// A folder with any faulty file is not to be used, and every problem is told.
func TestShelfTellsEveryProblem(t *testing.T) {
	_, slips, err := api.NewShelf(folder(map[string]string{
		"a.yaml": strings.Replace(smallRubric, "quick-hands", "a", 1) + "colour: red\n", "b.yaml": "rubric: [",
		"c.yaml": smallRubric, "workload/d.yaml": "policy: d\n",
	}))
	if err != nil || !place.Failed(slips) {
		t.Fatalf("%v, %v", slips, err)
	}
	for file, code := range map[string]string{"a.yaml": "unknown-key", "b.yaml": "not-yaml", "c.yaml": "file-name", "workload/d.yaml": "missing-key"} {
		if !slices.ContainsFunc(slips, func(p place.Problem) bool { return p.File == file && p.Code == code && p.Line > 0 }) {
			t.Errorf("no %s for %s in %v", code, file, slips)
		}
	}
}

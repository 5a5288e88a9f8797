package engine

import (
	"fmt"
	"slices"
	"strings"

	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/engine/verdict"
)

// A Reach says what a rubric's examples leave untried.
type Reach struct {
	Faults []string `json:"faults" doc:"Faults that are a fault in no example"`
	Bands  []string `json:"bands" doc:"Bands no example plays in"`
}

// CheckRubric parses a rubric file and runs its examples. The rubric is nil if
// the file cannot be used; a failed example is a problem too, but leaves the
// rubric usable for looking at.
func CheckRubric(file string, src []byte, others func(name string) ([]byte, bool)) (*rubric.Rubric, Reach, []place.Problem) {
	r, problems := rubric.Parse(file, src, others)
	if r == nil {
		return nil, Reach{}, problems
	}
	tried := &tried{faults: make([]bool, len(r.Faults)), bands: make([]bool, len(r.Bands))}
	for i := range r.Examples {
		problems = append(problems, runExample(r, &r.Examples[i], tried)...)
	}
	place.Sort(problems)
	return r, tried.reach(r), place.Cap(problems)
}

type tried struct{ faults, bands []bool }

func (t *tried) reach(r *rubric.Rubric) Reach {
	out := Reach{Faults: []string{}, Bands: []string{}}
	for i, yes := range t.faults {
		if !yes {
			out.Faults = append(out.Faults, r.Faults[i].Name)
		}
	}
	for i, yes := range t.bands {
		if !yes {
			out.Bands = append(out.Bands, r.Bands[i].Name)
		}
	}
	return out
}

// runExample judges one example and compares what came out with what it
// expects.
func runExample(r *rubric.Rubric, e *rubric.Example, t *tried) []place.Problem {
	fail := func(found, wanted string) place.Problem {
		return place.Problem{Code: "example-fails", File: e.File, Line: e.Line, Column: 1, Found: fmt.Sprintf("example %q: %s", e.Name, found), Wanted: wanted, Hint: "change the limits or the example"}
	}
	o, problems := observation.Decode(e.Given)
	var a *Assessment
	if len(problems) == 0 {
		a, problems = Assess(Request{Rubric: r, Observation: o})
	}
	if len(problems) > 0 {
		return []place.Problem{fail("at "+problems[0].Pointer+" "+problems[0].Found, problems[0].Wanted)}
	}
	t.bands[slices.IndexFunc(r.Bands, func(b rubric.Band) bool { return b.Name == a.Player.Band })] = true
	for i := range a.Findings {
		t.faults[i] = t.faults[i] || a.Findings[i].Verdict == verdict.Fault
	}
	return compareExample(e, a, fail)
}

func compareExample(e *rubric.Example, a *Assessment, fail func(found, wanted string) place.Problem) (list []place.Problem) {
	for _, want := range []struct {
		names   []string
		verdict verdict.Verdict
	}{{e.Faults, verdict.Fault}, {e.Sound, verdict.Sound}} {
		for _, name := range want.names {
			if got := a.finding(name); got != want.verdict {
				list = append(list, fail(name+" is "+string(got), name+" to be "+string(want.verdict)))
			}
		}
	}
	if e.First != "" && (len(a.WorkOn) == 0 || a.WorkOn[0].Fault != e.First) {
		list = append(list, fail("to work on first is "+a.firstToWorkOn(), e.First+" first"))
	}
	return list
}

func (a *Assessment) finding(fault string) verdict.Verdict {
	for i := range a.Findings {
		if a.Findings[i].Fault == fault {
			return a.Findings[i].Verdict
		}
	}
	return verdict.NotApplicable
}

func (a *Assessment) firstToWorkOn() string {
	if len(a.WorkOn) == 0 {
		return "nothing"
	}
	names := make([]string, len(a.WorkOn))
	for i, w := range a.WorkOn {
		names[i] = w.Fault
	}
	return strings.Join(names, ", then ")
}

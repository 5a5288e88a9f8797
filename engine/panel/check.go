package panel

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"rootcue/engine/place"
)

// Limits that keep a tryout within seconds and tens of megabytes.
const (
	MostGrades     = 100_000
	MostPlayers    = 1000
	MostEvaluators = 40
	MostColumns    = 400 // pairs of item and evaluator
)

// checkSize refuses what is too large to judge at once.
func checkSize(grades []Grade) []place.Problem {
	columns := map[[2]string]bool{}
	for _, g := range grades {
		columns[[2]string{g.Item, g.Evaluator}] = true
	}
	var out []place.Problem
	for _, c := range []struct {
		what        string
		found, most int
	}{
		{"grades", len(grades), MostGrades}, {"players", len(names(grades, bibOf)), MostPlayers},
		{"evaluators", len(names(grades, evaluatorOf)), MostEvaluators}, {"pairs of an item and an evaluator", len(columns), MostColumns},
	} {
		if c.found > c.most {
			out = append(out, place.Problem{Code: "too-large", Pointer: "/grades", Found: fmt.Sprintf("%d %s", c.found, c.what), Wanted: fmt.Sprintf("at most %d", c.most), Hint: "split the tryout, by age group for instance"})
		}
	}
	return out
}

// checkGrades finds grades that no CSV line would have let through.
func checkGrades(grades []Grade) []place.Problem {
	if len(grades) == 0 {
		return []place.Problem{{Code: "no-grades", Pointer: "/grades", Found: "no grade", Wanted: "at least one grade"}}
	}
	out := checkSize(grades)
	if out != nil {
		return out
	}
	type key struct {
		bib, evaluator, item string
		look                 int
	}
	seen, yesNo := map[key]int{}, map[string]bool{}
	for i, g := range grades {
		problem := checkGrade(g)
		k := key{g.Bib, g.Evaluator, g.Item, g.look()}
		kind, known := yesNo[g.Item]
		switch {
		case problem != nil:
		case known && kind != g.YesNo:
			problem = &place.Problem{Code: "mixed-item", Found: kindOf(g.YesNo), Wanted: kindOf(kind) + ", as in the grades of " + g.Item + " before"}
		case seen[k] > 0:
			problem = &place.Problem{Code: "graded-twice", Found: fmt.Sprintf("a second grade of player %s by %s on %s", g.Bib, g.Evaluator, g.Item),
				Wanted: fmt.Sprintf("one, as grade %d", seen[k]), Hint: "number second looks in look"}
		}
		if problem != nil {
			problem.Pointer = "/grades/" + strconv.Itoa(i)
			out = append(out, *problem)
			continue
		}
		seen[k], yesNo[g.Item] = i+1, g.YesNo
	}
	return out
}

// checkGrade judges a grade by itself.
func checkGrade(g Grade) *place.Problem {
	for _, f := range []struct{ name, value string }{{"bib", g.Bib}, {"evaluator", g.Evaluator}, {"item", g.Item}} {
		if strings.TrimSpace(f.value) == "" {
			return &place.Problem{Code: "empty-field", Found: "no " + f.name, Wanted: "a " + f.name}
		}
	}
	switch {
	case math.IsNaN(g.Value) || math.Abs(g.Value) > 1e9:
		return &place.Problem{Code: "bad-grade", Found: strconv.FormatFloat(g.Value, 'g', -1, 64), Wanted: "a number from -1e9 to 1e9"}
	case g.YesNo && g.Value != 0 && g.Value != 1:
		return &place.Problem{Code: "bad-grade", Found: strconv.FormatFloat(g.Value, 'g', -1, 64), Wanted: "1 for yes or 0 for no"}
	case g.Look < 0:
		return &place.Problem{Code: "bad-look", Found: strconv.Itoa(g.Look), Wanted: "a whole number from 1"}
	}
	return nil
}

func kindOf(yesNo bool) string {
	if yesNo {
		return "yes or no"
	}
	return "a number"
}

// checkOptions holds the options against the grades.
func checkOptions(grades []Grade, o Options) []place.Problem {
	var out []place.Problem
	items, sum := names(grades, itemOf), 0.0
	for _, name := range slices.Sorted(maps.Keys(o.Weights)) {
		w := o.Weights[name]
		sum += math.Abs(w)
		if !slices.Contains(items, name) {
			out = append(out, place.Problem{Code: "unknown-item", Pointer: "/weights", Found: "a weight for " + name, Wanted: "one of the items graded: " + place.List(items), Hint: meant(name, items)})
		}
		if math.IsNaN(w) || math.Abs(w) > 1e6 {
			out = append(out, place.Problem{Code: "bad-weight", Pointer: "/weights", Found: fmt.Sprintf("%s=%g", name, w), Wanted: "a number from -1e6 to 1e6"})
		}
	}
	if o.Weights != nil && sum == 0 {
		out = append(out, place.Problem{Code: "bad-weight", Pointer: "/weights", Found: "no weight other than zero", Wanted: "at least one item that counts"})
	}
	if n := len(names(grades, bibOf)); o.Best < 0 || o.Best > n {
		out = append(out, place.Problem{Code: "bad-best", Pointer: "/best", Found: strconv.Itoa(o.Best), Wanted: fmt.Sprintf("from 1 to %d, the players graded", n)})
	}
	if o.Looks < 0 || o.Looks > 1000 {
		out = append(out, place.Problem{Code: "bad-looks", Pointer: "/looks", Found: strconv.Itoa(o.Looks), Wanted: "from 0 to 1000 looks to plan"})
	}
	return out
}

func meant(name string, items []string) string {
	if near := place.Nearest(name, items); near != "" {
		return "did you mean " + strconv.Quote(near) + "?"
	}
	return ""
}

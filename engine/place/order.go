package place

import (
	"cmp"
	"fmt"
	"slices"
)

// Most is how many problems are shown at once.
const Most = 50

// Sort puts problems into the order of their places: by file, line, column,
// JSON Pointer, then code, so that the same document gives the same list.
func Sort(problems []Problem) {
	slices.SortStableFunc(problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column),
			cmp.Compare(a.Pointer, b.Pointer), cmp.Compare(a.Code, b.Code), cmp.Compare(a.Found, b.Found))
	})
}

// Cap keeps at most Most problems and says in one more how many are left out.
// Warnings go before errors do.
func Cap(problems []Problem) []Problem {
	over := len(problems) - Most
	if over <= 0 {
		return problems
	}
	warnings := 0
	for _, p := range problems {
		if p.Warning {
			warnings++
		}
	}
	kept := dropLast(problems, true, min(over, warnings))
	kept = dropLast(kept, false, over-min(over, warnings))
	return append(kept, Problem{
		Code: "more", File: kept[0].File, Found: fmt.Sprintf("%d more problems", over), Wanted: fmt.Sprintf("at most %d at a time", Most),
		Hint: "mend the ones above, then check again", Warning: over <= warnings,
	})
}

// dropLast copies problems without the last n that are warnings, or are not.
func dropLast(problems []Problem, warning bool, n int) []Problem {
	kept := make([]Problem, 0, len(problems)+1)
	for i := len(problems) - 1; i >= 0; i-- {
		if problems[i].Warning == warning && n > 0 {
			n--
			continue
		}
		kept = append(kept, problems[i])
	}
	slices.Reverse(kept)
	return kept
}

// Failed reports whether any problem is more than a warning.
func Failed(problems []Problem) bool {
	return slices.ContainsFunc(problems, func(p Problem) bool { return !p.Warning })
}

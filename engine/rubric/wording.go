package rubric

import (
	"strconv"
	"strings"

	"rootcue/engine/place"
	"rootcue/engine/shape"
	"rootcue/engine/unit"
)

// number writes a number as an author would.
func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// short writes a converted number without the noise of its last digits.
func short(v float64) string { return strconv.FormatFloat(v, 'g', 7, 64) }

// quote puts a name into quotes.
func quote(name string) string { return strconv.Quote(name) }

// arrows joins the names of a path.
func arrows(names []string) string { return strings.Join(names, " → ") }

// near is the hint for a misspelt name. Long after the problems that are shown,
// none is looked for.
func (c *compiler) near(word string, names map[string]int) string {
	if len(c.problems) > 4*place.Most {
		return ""
	}
	return shape.DidYouMean(word, sortedKeys(names))
}

// unitsOf lists the units of a dimension.
func unitsOf(d unit.Dimension) string {
	var names []string
	for _, name := range unit.Names() {
		if unit.Must(name).Dim == d {
			names = append(names, name)
		}
	}
	return "a unit of the dimension " + string(d) + ": " + strings.Join(names, ", ")
}

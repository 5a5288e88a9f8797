package rubric

import (
	"strconv"
	"strings"

	"rootcue/engine/unit"
)

// number writes a number as an author would.
func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// quote puts a name into quotes.
func quote(name string) string { return strconv.Quote(name) }

// arrows joins the names of a path.
func arrows(names []string) string { return strings.Join(names, " → ") }

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

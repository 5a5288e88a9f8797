package rubric

import (
	"strconv"
	"strings"
)

// number writes a number as an author would.
func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// quote puts a name into quotes.
func quote(name string) string { return strconv.Quote(name) }

// arrows joins the names of a path.
func arrows(names []string) string { return strings.Join(names, " → ") }

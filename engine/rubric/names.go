package rubric

import (
	"regexp"

	"rootcue/engine/shape"
)

// The rules for names. Faults, drills and rubrics join words by "-", what
// formulas read joins them by "_".
var (
	dashed = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)
	scored = regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
	banded = regexp.MustCompile(`^[a-z0-9]+([-_][a-z0-9]+)*\+?$`)

	rubricName   = &shape.Name{What: "the name of a rubric", Pattern: dashed, Says: "lower-case words joined by -"}
	faultName    = &shape.Name{What: "the name of a fault", Pattern: dashed, Says: "lower-case words joined by -"}
	drillName    = &shape.Name{What: "the name of a drill", Pattern: dashed, Says: "lower-case words joined by -"}
	measureName  = &shape.Name{What: "the name of a measure", Pattern: scored, Says: "lower-case words joined by _"}
	constantName = &shape.Name{What: "the name of a constant", Pattern: scored, Says: "lower-case words joined by _"}
	bandName     = &shape.Name{What: "the name of a band", Pattern: banded, Says: "lower-case letters and digits joined by -, such as 11-12"}
)

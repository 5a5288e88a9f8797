// Package tryouts holds the grades of an invented panel.
package tryouts

import _ "embed"

// Spring are the grades of one afternoon, CSV with the columns
// bib,evaluator,item,grade.
//
//go:embed spring.csv
var Spring []byte

// Package demo holds the observations of an invented club, to look at and to
// try the program with. Nobody in them is real.
package demo

import "embed"

// Observations are observation documents, one a file.
//
//go:embed *.json
var Observations embed.FS

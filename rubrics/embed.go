// Package rubrics holds the rubrics that come with the program, as YAML for
// instructors to copy and edit. Each file carries its own examples and says
// where its numbers come from.
package rubrics

import "embed"

// Files holds one rubric a file, NAME.yaml, and one workload policy a file,
// workload/NAME.yaml.
//
//go:embed *.yaml workload/*.yaml
var Files embed.FS

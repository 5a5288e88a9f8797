package api

import (
	"io/fs"
	"strings"

	"rootcue/testdata/demo"
)

// DemoObservation is a small valid observation, for a first try on the
// command line.
const DemoObservation = `{"rubric":"throw-to-second","player":{"ref":"D-01","age":14},"on":"2026-05-09","reps":[{"rep":1,"measures":{"stride_off_line":17,"exchange_time":1.02}}]}`

// demoObservations are the observations of the invented club, by name.
func demoObservations() map[string][]byte {
	files, err := fs.Glob(demo.Observations, "*.json")
	if err != nil {
		panic("api: " + err.Error()) // the pattern is good
	}
	out := map[string][]byte{}
	for _, f := range files {
		if out[strings.TrimSuffix(f, ".json")], err = demo.Observations.ReadFile(f); err != nil {
			panic("api: " + err.Error()) // the file is embedded
		}
	}
	return out
}

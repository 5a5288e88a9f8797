package marks

import "flag"

// Update says that golden files are to be written anew.
var Update = flag.Bool("update", false, "write the golden files anew")

// TrackDocument is the invented player's observation with a pose track, and
// the measures the figure was built from.
func TrackDocument() ([]byte, map[string]float64) {
	t, c := trackThrow()
	return document(t, &c), t.truth
}

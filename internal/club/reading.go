package club

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"

	"github.com/go-json-experiment/json/jsontext"

	"rootcue/engine/observation"
	"rootcue/engine/place"
)

// A reading is one document as it was understood.
type reading struct {
	input []byte // canonical (RFC 8785): keys in order, no blanks
	hash  string // SHA-256 of input, hex
	*observation.Observation
}

// read decodes a document and brings it into the form in which it is kept. The
// engine judges that form, so that a stored input gives the same bytes again.
func read(doc []byte) (*reading, []place.Problem) {
	canonical := jsontext.Value(slices.Clone(doc))
	if err := canonical.Canonicalize(jsontext.AllowDuplicateNames(true)); err != nil {
		return nil, slipsOf(doc, err)
	}
	o, slips := observation.Decode(canonical)
	if len(slips) > 0 {
		return nil, slipsOf(doc, nil)
	}
	sum := sha256.Sum256(canonical)
	return &reading{canonical, hex.EncodeToString(sum[:]), o}, nil
}

// slipsOf tells a document's slips in its own order and coordinates.
func slipsOf(doc []byte, err error) []place.Problem {
	_, slips := observation.Decode(doc)
	if len(slips) == 0 {
		slips = []place.Problem{{Code: "not-json", Found: fmt.Sprint(err), Wanted: "one JSON document in UTF-8"}}
	}
	return slips
}

// occasion is what an observation is of: documents of one occasion may be
// parts or corrections of each other.
type occasion struct{ player, rubric, on, session, rater string }

func (r *reading) occasion() occasion {
	return occasion{r.Player.Ref, r.Rubric, r.On.String(), r.Session, r.Rater}
}

// repNumbers are the numbers of the reps, sorted.
func (r *reading) repNumbers() []int {
	numbers := make([]int, len(r.Reps))
	for i := range r.Reps {
		numbers[i] = r.Reps[i].Number
	}
	slices.Sort(numbers)
	return numbers
}

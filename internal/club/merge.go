package club

import (
	"bytes"
	"maps"
	"slices"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// A document is an observation document taken apart as far as merging needs.
type document struct {
	Rubric     string                    `json:"rubric"`
	Player     map[string]jsontext.Value `json:"player"`
	On         string                    `json:"on"`
	Rater      string                    `json:"rater,omitempty"`
	Session    string                    `json:"session,omitempty"`
	Conditions map[string]jsontext.Value `json:"conditions,omitempty"`
	Reps       []map[string]any          `json:"reps"`
}

// merge adds a later document of the same session to what is stored of it: new
// rep numbers are added, a known number is replaced, and what the later one
// says of the player holds. corrects tells whether anything known changed.
func merge(old, late []byte) (merged []byte, corrects bool, err error) {
	was, is := document{}, document{}
	if err := unmarshal(old, &was); err != nil {
		return nil, false, err
	}
	if err := unmarshal(late, &is); err != nil {
		return nil, false, err
	}
	if !maps.EqualFunc(was.Conditions, is.Conditions, sameBytes) {
		// Conditions of the document hold for its own reps only.
		was.lowerConditions()
		is.lowerConditions()
	}
	player := was.playerWith(is.Player)
	corrects = !maps.EqualFunc(was.Player, player, sameBytes)
	for _, rep := range is.Reps {
		at := slices.IndexFunc(was.Reps, func(r map[string]any) bool { return sameValue(r["rep"], rep["rep"]) })
		if at < 0 {
			was.Reps = append(was.Reps, rep)
			continue
		}
		corrects = corrects || !sameValue(was.Reps[at], rep)
		was.Reps[at] = rep
	}
	was.Player = player
	merged, err = json.Marshal(was, json.Deterministic(true))
	return merged, corrects, err
}

func unmarshal(b []byte, d *document) error { return json.Unmarshal(b, d) }

// lowerConditions moves the document's conditions into its reps, whose own win.
func (d *document) lowerConditions() {
	for _, rep := range d.Reps {
		all := map[string]any{}
		for name, v := range d.Conditions {
			all[name] = v
		}
		if own, ok := rep["conditions"].(map[string]any); ok {
			maps.Copy(all, own)
		}
		if len(all) > 0 {
			rep["conditions"] = all
		}
	}
	d.Conditions = nil
}

// playerWith is the player as the later document states it; what it leaves out
// stays. Age and month of birth stand for each other.
func (d *document) playerWith(later map[string]jsontext.Value) map[string]jsontext.Value {
	p := maps.Clone(d.Player)
	stated := maps.Clone(later)
	maps.DeleteFunc(stated, func(_ string, v jsontext.Value) bool { return v.Kind() == 'n' })
	if stated["age"] != nil || stated["born"] != nil {
		delete(p, "age")
		delete(p, "born")
	}
	maps.Copy(p, stated)
	return p
}

// sameValue compares two JSON values by their canonical bytes.
func sameValue(a, b any) bool {
	x, errX := canonicalOf(a)
	y, errY := canonicalOf(b)
	return errX == nil && errY == nil && bytes.Equal(x, y)
}

func canonicalOf(v any) (jsontext.Value, error) {
	b, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	value := jsontext.Value(b)
	return value, value.Canonicalize()
}

func sameBytes(a, b jsontext.Value) bool { return bytes.Equal(a, b) }

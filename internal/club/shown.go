package club

import (
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"rootcue/engine/workload"
)

// A caution as a key of role read sees it: that there is one, and how hard.
const (
	cautionApplies = "caution-applies"
	cautionSays    = "A caution applies. Ask the instructor before any throwing or catching."
)

// shown is a stored assessment as the actor may see it. A limited actor sees no
// stature, nothing that tells it, and of cautions only that one applies.
func shown(a Actor, body []byte) ([]byte, error) {
	if !a.Limited {
		return body, nil
	}
	var doc members
	if err := json.Unmarshal(body, &doc); err != nil {
		return nil, err
	}
	for i := range doc {
		var err error
		switch m := &doc[i]; m.name {
		case "player":
			m.value, err = without(m.value, "stature_m")
		case "cautions":
			m.value, err = onlyThat(m.value)
		case "notes":
			m.value, err = withoutStature(m.value)
		}
		if err != nil {
			return nil, err
		}
	}
	b, err := json.Marshal(doc)
	return append(b, '\n'), err
}

// without sets a member of an object to null.
func without(v jsontext.Value, name string) (jsontext.Value, error) {
	var doc members
	if err := json.Unmarshal(v, &doc); err != nil {
		return nil, err
	}
	for i := range doc {
		if doc[i].name == name {
			doc[i].value = jsontext.Value("null")
		}
	}
	return json.Marshal(doc)
}

// onlyThat reduces cautions that are more than notes to one without a reason.
func onlyThat(v jsontext.Value) (jsontext.Value, error) {
	var all []workload.Caution
	if err := json.Unmarshal(v, &all); err != nil {
		return nil, err
	}
	return json.Marshal(withoutCauses(all))
}

// withoutStature takes out the notes that tell a stature.
func withoutStature(v jsontext.Value) (jsontext.Value, error) {
	var notes []struct {
		Code string `json:"code"`
		Says string `json:"says"`
	}
	if err := json.Unmarshal(v, &notes); err != nil {
		return nil, err
	}
	notes = slices.DeleteFunc(notes, func(n struct {
		Code string `json:"code"`
		Says string `json:"says"`
	}) bool {
		return strings.HasPrefix(n.Code, "stature-") || n.Code == "seen-on-a-stop-day"
	})
	return json.Marshal(notes)
}

// members are the members of a JSON object in their order.
type members []member

type member struct {
	name  string
	value jsontext.Value
}

// UnmarshalJSONFrom reads an object.
func (m *members) UnmarshalJSONFrom(d *jsontext.Decoder) error {
	if _, err := d.ReadToken(); err != nil {
		return err
	}
	for d.PeekKind() != '}' {
		name, err := d.ReadToken()
		if err != nil {
			return err
		}
		is := member{name: name.String()}
		value, err := d.ReadValue()
		if err != nil {
			return err
		}
		is.value = value.Clone()
		*m = append(*m, is)
	}
	_, err := d.ReadToken()
	return err
}

// MarshalJSONTo writes the object.
func (m members) MarshalJSONTo(e *jsontext.Encoder) error {
	if err := e.WriteToken(jsontext.BeginObject); err != nil {
		return err
	}
	for _, is := range m {
		if err := e.WriteToken(jsontext.String(is.name)); err != nil {
			return err
		}
		if err := e.WriteValue(is.value); err != nil {
			return err
		}
	}
	return e.WriteToken(jsontext.EndObject)
}

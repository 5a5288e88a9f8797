package club

import (
	"bytes"
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
	doc, err := membersOf(body)
	if err != nil {
		return nil, err
	}
	for i := range doc {
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
	b, err := doc.object()
	return append(b, '\n'), err
}

// without sets a member of an object to null.
func without(v jsontext.Value, name string) (jsontext.Value, error) {
	doc, err := membersOf(v)
	if err != nil {
		return nil, err
	}
	for i := range doc {
		if doc[i].name == name {
			doc[i].value = jsontext.Value("null")
		}
	}
	return doc.object()
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

// members are the members of a JSON object in their order, each value as it
// stands in the object.
type members []member

type member struct {
	name  string
	value jsontext.Value
}

// membersOf reads an object that this program wrote: no name comes twice.
func membersOf(object []byte) (m members, err error) {
	d := jsontext.NewDecoder(bytes.NewBuffer(object), jsontext.AllowDuplicateNames(true))
	if _, err = d.ReadToken(); err != nil {
		return nil, err
	}
	for d.PeekKind() == '"' {
		name, err := d.ReadToken()
		if err != nil {
			return nil, err
		}
		is := member{name: name.String()}
		value, err := d.ReadValue()
		if err != nil {
			return nil, err
		}
		end := d.InputOffset()
		is.value = object[end-int64(len(value)) : end : end]
		m = append(m, is)
	}
	_, err = d.ReadToken()
	return m, err
}

// object writes the members as an object.
func (m members) object() ([]byte, error) {
	size := 2
	for _, is := range m {
		size += len(is.name) + len(is.value) + 4
	}
	out, err := append(make([]byte, 0, size), '{'), error(nil)
	for i, is := range m {
		if i > 0 {
			out = append(out, ',')
		}
		if out, err = jsontext.AppendQuote(out, is.name); err != nil {
			return nil, err
		}
		out = append(append(out, ':'), is.value...)
	}
	return append(out, '}'), nil
}

package pages

import (
	_ "embed"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

//go:embed texts.yaml
var textsYAML []byte

// catalogue holds every text of the pages by key, then by language.
var catalogue = mustRead(textsYAML)

func mustRead(source []byte) map[string]map[string]string {
	var texts map[string]map[string]string
	if err := yaml.Unmarshal(source, &texts); err != nil {
		panic("texts.yaml, which is part of the program, cannot be read: " + err.Error())
	}
	return texts
}

// Languages are the languages that the pages come in, English first.
func Languages() []string { return slices.Sorted(maps.Keys(catalogue["lang.name"])) }

// Say gives the text of a key in a language, names in braces filled in from
// pairs of name and value. A key without a text gives the key: a test looks
// for that.
func Say(lang, key string, pairs ...string) string {
	text, known := catalogue[key][lang]
	if !known {
		return key
	}
	filled := make([]string, len(pairs))
	for i, p := range pairs {
		if filled[i] = p; i%2 == 0 {
			filled[i] = "{" + p + "}"
		}
	}
	return strings.NewReplacer(filled...).Replace(text)
}

// Language picks the language that a reader likes best from an Accept-Language
// field (RFC 9110, 12.5.4); English when there is none of ours in it. A region
// does not matter, nor does an item that is not well formed.
func Language(accept string) string {
	best, bestQ := "en", 0.0
	for item := range strings.SplitSeq(strings.ToLower(accept), ",") {
		tag, params, weighed := strings.Cut(item, ";")
		primary, _, _ := strings.Cut(strings.TrimSpace(tag), "-")
		q := 1.0
		if weighed {
			q = weight(params)
		}
		if q > bestQ && slices.Contains(Languages(), primary) {
			best, bestQ = primary, q
		}
	}
	return best
}

var qvalue = regexp.MustCompile(`^\s*q=(0(?:\.\d{0,3})?|1(?:\.0{0,3})?)\s*$`)

// weight is a q-value (RFC 9110, 12.4.2), 0 for anything else.
func weight(params string) float64 {
	m := qvalue.FindStringSubmatch(params)
	if m == nil {
		return 0
	}
	q, _ := strconv.ParseFloat(m[1], 64) // its form was checked
	return q
}

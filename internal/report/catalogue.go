package report

import (
	_ "embed"
	"fmt"
	"maps"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

//go:embed texts.yaml
var textsYAML []byte

// catalogue holds every text of the family report by key, then by language.
var catalogue = mustRead(textsYAML)

func mustRead(source []byte) map[string]map[string]string {
	var texts map[string]map[string]string
	if err := yaml.Unmarshal(source, &texts); err != nil {
		panic("texts.yaml, which is part of the program, cannot be read: " + err.Error())
	}
	return texts
}

// Languages are the languages that a report comes in.
func Languages() []string { return slices.Sorted(maps.Keys(catalogue["title"])) }

// words are the texts of one language.
type words string

// wordsOf checks a language; "" is English.
func wordsOf(lang string) (words, error) {
	if lang == "" {
		return "en", nil
	}
	if !slices.Contains(Languages(), lang) {
		return "", fmt.Errorf("report language %q, wanted one of %s", lang, strings.Join(Languages(), ", "))
	}
	return words(lang), nil
}

// say gives the text of a key with names in braces filled in from pairs of
// name and value.
func (w words) say(key string, pairs ...string) string {
	for i := 0; i < len(pairs); i += 2 {
		pairs[i] = "{" + pairs[i] + "}"
	}
	return strings.NewReplacer(pairs...).Replace(catalogue[key][string(w)])
}

// has reports a key of the catalogue.
func (w words) has(key string) bool { return catalogue[key][string(w)] != "" }

// others are the languages beside this one.
func (w words) others() (list []words) {
	for _, lang := range Languages() {
		if lang != string(w) {
			list = append(list, words(lang))
		}
	}
	return list
}

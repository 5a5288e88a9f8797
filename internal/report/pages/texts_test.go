package pages

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"
)

var inBraces = regexp.MustCompile(`\{[a-z]+\}`)

// TestCatalogue: every text comes in every language with the same words in
// braces.
func TestCatalogue(t *testing.T) {
	for key, texts := range catalogue {
		want := inBraces.FindAllString(texts["en"], -1)
		slices.Sort(want)
		for _, lang := range Languages() {
			got := inBraces.FindAllString(texts[lang], -1)
			slices.Sort(got)
			if texts[lang] == "" || !slices.Equal(got, want) {
				t.Errorf("%s in %s: %q, wanted the braces %v", key, lang, texts[lang], want)
			}
		}
	}
}

var saidByTemplate = regexp.MustCompile(`\(?say "([a-z0-9.-]+)"`)

// TestTemplatesSayWhatThereIs: every key that a template names is in the
// catalogue.
func TestTemplatesSayWhatThereIs(t *testing.T) {
	found, err := filepath.Glob("*.html")
	if err != nil || len(found) < 5 {
		t.Fatalf("%d templates: %v", len(found), err)
	}
	for _, file := range found {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range saidByTemplate.FindAllStringSubmatch(string(b), -1) {
			if catalogue[m[1]] == nil {
				t.Errorf("%s says %s, which the catalogue does not have", file, m[1])
			}
		}
	}
}

package pages

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
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

// TestLanguage: what a browser asks for in Accept-Language (RFC 9110, 12.5.4).
func TestLanguage(t *testing.T) {
	for accept, want := range map[string]string{
		"":                                    "en",
		"es":                                  "es",
		"ES":                                  "es",
		"es-MX":                               "es",
		"es-419,es;q=0.9,en;q=0.8":            "es",
		"en-US,en;q=0.9,es;q=0.8":             "en",
		"da, en-gb;q=0.8, en;q=0.7":           "en", // the standard's own example
		"de,fr;q=0.9":                         "en",
		"de,es;q=0.1":                         "es",
		"en;q=0.4, es;q=0.5":                  "es",
		"en;q=0.5, es;q=0.5":                  "en", // the first of those liked alike
		"es;q=0.5, en;q=0.5":                  "es",
		"es;Q=0.9, en;q=0.8":                  "es", // a weight is written in either case
		"es ; q=0.9 , en ; q=0.8":             "es",
		"es;q=0, en;q=0.001":                  "en",
		"es;q=0":                              "en",
		"*":                                   "en",
		"*;q=0.9, es;q=0.5":                   "es",
		"es;q=2, en;q=0.1":                    "en", // no weight
		"es;q=inf, en;q=0.1":                  "en",
		"es;q=NaN, en;q=0.1":                  "en",
		"es;q=, en;q=0.1":                     "en",
		"es;level=1, en;q=0.1":                "en",
		"es;q=0.9999, en;q=0.1":               "en",
		"est, esp;q=0.9":                      "en", // Estonian is est, not es
		"español":                             "en",
		";;;,,,":                              "en",
		",es,":                                "es",
		"es\x00":                              "en",
		strings.Repeat("de,", 5000) + "es-MX": "es",
	} {
		if got := Language(accept); got != want {
			t.Errorf("%.60q gives %s, wanted %s", accept, got, want)
		}
	}
}

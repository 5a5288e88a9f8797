package report

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"rootcue/internal/report/htmltest"
)

// grade is the Flesch–Kincaid grade level: 0.39 words a sentence + 11.8
// syllables a word − 15.59 (Kincaid, Fishburne, Rogers and Chissom 1975,
// Derivation of new readability formulas, Research Branch Report 8-75).
func grade(words, sentences, syllables int) float64 {
	return 0.39*float64(words)/float64(sentences) + 11.8*float64(syllables)/float64(words) - 15.59
}

var (
	wordIn    = regexp.MustCompile(`[A-Za-z][A-Za-z'-]*`)
	vowels    = regexp.MustCompile(`[aeiouy]+`)
	sentenceE = regexp.MustCompile(`[.!?:]+(\s|$)`)
)

// syllablesIn counts groups of vowels, less a silent e or ed at the end; one at
// least (common practice, within a few per cent of a dictionary).
func syllablesIn(word string) int {
	w := strings.ToLower(word)
	n := len(vowels.FindAllString(w, -1))
	switch {
	case strings.HasSuffix(w, "le") && len(w) > 2 && !strings.ContainsAny(w[len(w)-3:len(w)-2], "aeiouy"):
	case strings.HasSuffix(w, "ed") && !strings.HasSuffix(w, "ted") && !strings.HasSuffix(w, "ded"):
		n--
	case strings.HasSuffix(w, "e") && !strings.HasSuffix(w, "ee"):
		n--
	}
	return max(n, 1)
}

// gradeOf grades sentences of several paragraphs; each paragraph ends one.
func gradeOf(paragraphs []string) float64 {
	words, sentences, syllables := 0, 0, 0
	for _, p := range paragraphs {
		found := wordIn.FindAllString(p, -1)
		if len(found) == 0 {
			continue
		}
		ends := len(sentenceE.FindAllString(strings.TrimSpace(p), -1))
		if !strings.ContainsAny(p[len(p)-1:], ".!?:") {
			ends++
		}
		words, sentences = words+len(found), sentences+max(ends, 1)
		for _, w := range found {
			syllables += syllablesIn(w)
		}
	}
	return grade(words, sentences, syllables)
}

func TestGradeByHand(t *testing.T) {
	for word, want := range map[string]int{"catcher": 2, "release": 2, "the": 1, "table": 2, "started": 2, "moved": 1, "medical": 3, "see": 1, "shoulder": 2, "elbow": 2} {
		if got := syllablesIn(word); got != want {
			t.Errorf("%s: %d syllables, counted by hand %d", word, got, want)
		}
	}
	// Two sentences, ten words, twelve syllables, counted by hand.
	got := gradeOf([]string{"The bare hand hangs low.", "Carry it near the shoulder."})
	if want := 0.39*10/2 + 11.8*12/10 - 15.59; math.Abs(got-want) > 1e-12 {
		t.Errorf("grade %.3f, by hand %.3f", got, want)
	}
	if got := gradeOf([]string{"Biomechanical considerations notwithstanding, institutional recommendations necessitate multidisciplinary deliberation."}); got < 20 {
		t.Errorf("officialese is graded %.1f", got)
	}
}

// familyPart is what a family reads: all but the fold and the drawings.
func familyPart(t *testing.T, page []byte) (paragraphs []string) {
	t.Helper()
	root, err := html.Parse(strings.NewReader(string(page)))
	if err != nil {
		t.Fatal(err)
	}
	var walk func(*html.Node)
	walk = func(n *html.Node) {
		switch n.Data {
		case "details", "svg", "head", "a":
			return
		case "p", "li", "dd", "dt", "h1", "h2", "h3":
			paragraphs = append(paragraphs, htmltest.Text(n))
			return
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(root)
	return paragraphs
}

// TestReadsAtGradeEight: the family part of every English page reads at grade 8
// or below, its sentences without the headings too.
func TestReadsAtGradeEight(t *testing.T) {
	for name, in := range demos(t) {
		if in.Lang == "es" {
			continue
		}
		all := familyPart(t, written(t, in))
		var long []string
		for _, p := range all {
			if len(strings.Fields(p)) > 4 {
				long = append(long, p)
			}
		}
		if got := gradeOf(all); got > 8 {
			t.Errorf("%s: grade %.1f", name, got)
		}
		if got := gradeOf(long); got > 8 {
			t.Errorf("%s: grade %.1f without headings", name, got)
		}
	}
}

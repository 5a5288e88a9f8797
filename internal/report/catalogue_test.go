package report

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/net/html"

	"rootcue/engine/progress"
	"rootcue/engine/unit"
	"rootcue/engine/verdict"
	"rootcue/engine/workload"
	"rootcue/internal/report/htmltest"
)

var inBraces = regexp.MustCompile(`\{[a-z]+\}`)

// TestCatalogueIsComplete: every key in every language, with the same words in
// braces.
func TestCatalogueIsComplete(t *testing.T) {
	if got := Languages(); !slices.Equal(got, []string{"en", "es"}) {
		t.Fatalf("languages %q", got)
	}
	for key, texts := range catalogue {
		if len(texts) != 2 || strings.TrimSpace(texts["en"]) == "" || strings.TrimSpace(texts["es"]) == "" {
			t.Errorf("%s: %q", key, texts)
		}
		en, es := inBraces.FindAllString(texts["en"], -1), inBraces.FindAllString(texts["es"], -1)
		slices.Sort(en)
		slices.Sort(es)
		if !slices.Equal(en, es) {
			t.Errorf("%s: %q in English, %q in Spanish", key, en, es)
		}
	}
}

var keysInCode = regexp.MustCompile(`(?:say|html|add)\(\s*"([a-z][a-z0-9-]*(?:\.[a-z-]+)*)"|say \$?\.Say "([^"]+)"|"((?:sure|mark|of|side|lead|why|brings|clock|good|open|picture\.desc|work)\.[a-z-]+)"`)

// TestKeysAreThereAndUsed: each key that code or page name is in the catalogue,
// and each in the catalogue is named, or made from a name that the engine has.
func TestKeysAreThereAndUsed(t *testing.T) {
	used := map[string]bool{}
	for _, file := range sources(t) {
		for _, m := range keysInCode.FindAllStringSubmatch(file, -1) {
			key := m[1] + m[2] + m[3]
			used[key] = true
			if catalogue[key] == nil && key != "page" {
				t.Errorf("key %q is not in the catalogue", key)
			}
		}
	}
	for _, name := range unit.Names() {
		used["unit."+name] = true
	}
	for _, v := range []verdict.Verdict{verdict.Fault, verdict.Close, verdict.Sound, verdict.NotSeen, verdict.NotApplicable} {
		used["verdict."+string(v)] = true
	}
	for _, l := range workload.Levels {
		used["caution.level."+l] = true
	}
	for _, w := range []progress.Word{progress.Better, progress.Worse, progress.NoRealChange, progress.TooFew} {
		used["since."+string(w)] = true
	}
	for _, made := range used2 {
		used[made] = true
	}
	for key := range catalogue {
		if !used[key] && !strings.HasPrefix(key, "lead.") && !strings.HasPrefix(key, "advice.") {
			t.Errorf("nobody uses %q", key)
		}
	}
	for key := range used {
		if catalogue[key] == nil && key != "unit.1" {
			t.Errorf("no text for %q", key)
		}
	}
}

// used2 are keys made in code from parts.
var used2 = []string{"unit.share-yes", "title", "lang.name"}

func sources(t *testing.T) (list []string) {
	t.Helper()
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		name := e.Name()
		if strings.HasSuffix(name, "_test.go") || strings.HasPrefix(name, "sheet") || !strings.HasSuffix(name, ".go") && name != "page.html" {
			continue
		}
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, string(b))
	}
	return list
}

// TestNoTextOutsideTheCatalogue writes pages with each text of the catalogue
// replaced by its words in braces: what letters are left come from what was put
// in, and there all texts are one sign.
func TestNoTextOutsideTheCatalogue(t *testing.T) {
	kept := catalogue
	defer func() { catalogue = kept }()
	bare := map[string]map[string]string{}
	for key, texts := range kept {
		bare[key] = map[string]string{"en": "§" + strings.Join(inBraces.FindAllString(texts["en"], -1), "§"), "es": texts["es"]}
	}
	catalogue = bare
	for name, in := range demos(t) {
		if name == "spanish" {
			continue
		}
		page := string(written(t, signed(in)))
		root, err := html.Parse(strings.NewReader(page))
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range texts(root) {
			for _, word := range strings.Fields(text) {
				if strings.ContainsFunc(strings.ReplaceAll(word, sign, ""), unicode.IsLetter) {
					t.Errorf("%s: %q in %q", name, word, text)
				}
			}
		}
	}
}

// texts are all texts of a page that someone reads, labels too.
func texts(n *html.Node) (list []string) {
	if n.Type == html.ElementNode && n.Data == "style" {
		return nil
	}
	if n.Type == html.TextNode {
		list = append(list, n.Data)
	}
	if label := htmltest.Attr(n, "aria-label"); label != "" {
		list = append(list, label)
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		list = append(list, texts(c)...)
	}
	return list
}

// TestUnknownLanguage is told with what there is, and nothing is written.
func TestUnknownLanguage(t *testing.T) {
	in := demos(t)["alone"]
	in.Lang = "xx"
	var b strings.Builder
	err := Write(&b, in)
	if err == nil || err.Error() != `report language "xx", wanted one of en, es` || b.Len() > 0 {
		t.Errorf("%v, %d bytes", err, b.Len())
	}
}

// TestAdviceKeepsStep: every piece of the engine's standing advice is on the
// page in plain words, or among the cautions, or is for the fold alone.
func TestAdviceKeepsStep(t *testing.T) {
	elsewhere := []string{"standing", "no-catcher-limit", "advice-evidence", "advice-children"}
	for _, c := range workload.Advice {
		if !words("en").has("advice."+strings.TrimPrefix(c.Code, "advice-")) && !slices.Contains(elsewhere, c.Code) {
			t.Errorf("no plain words for %s", c.Code)
		}
	}
}

package shape

import (
	"regexp"
	"strings"
	"testing"

	"rootcue/engine/place"
)

var (
	testName  = &Name{What: "a name", Pattern: regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`), Says: "words joined by -"}
	testShape = Object(
		Need("title", "Title", "A text.", Str()),
		May("count", "Count", "A whole number.", Whole(1, 9)),
		May("share", "Share", "A share.", Range(0, 1)),
		May("any", "Any number", "A number.", Num()),
		May("flag", "Flag", "Yes or no.", YesNo()),
		May("word", "Word", "A word.", Enum("left", "right")),
		May("day", "Day", "A day.", Matching(`^[0-9]{2}-[0-9]{2}$`, "a day, such as 04-30")),
		May("pair", "Pair", "Two numbers.", ListOf(Num(), 2, 2)),
		May("few", "Few", "Some texts.", ListOf(Str(), 1, 3)),
		May("free", "Free", "By name.", MapOf(testName, Num(), May("unit", "Unit", "A unit.", Str())).Sized(1, 3)),
		May("either", "Either", "One of several.", OneOf(Range(0, 1), Enum("often"), MapOf(testName, Num()))),
		May("what", "What", "Anything.", Any()),
		May("inner", "Inner", "A map.", Object(Need("a", "A", "A number.", Num())).Refuse("it belongs outside", "outer")),
	).Def("test", "Test", "A test.")
)

// checkCases has one line a rule, with the place and the message.
var checkCases = []struct{ name, src, want string }{
	{"all is well", "{title: a, count: 9, share: 0.5, any: -1e9, flag: false, word: left, day: 04-30, pair: [1, 2], few: [a], free: {a-b: 1, unit: s}, either: often, what: [{}], inner: {a: 1}}", ""},
	{"missing", "{count: 1}", `1:1: found no key "title" in the document; wanted title: a text [missing-key]`},
	{"missing inside", "{title: a, inner: {}}", `1:12: found no key "a" in inner; wanted a: a number [missing-key]`},
	{"unknown", "{title: a, cuont: 1}", `1:12: found the key "cuont" in the document; wanted one of the keys title, count, share, any, flag, word, day, pair, few, free, either, what, inner [unknown-key] did you mean "count"?`},
	{"unknown, but near only to a key in use", "{title: a, titel: 1}", `1:12: found the key "titel" in the document; wanted one of the keys title, count, share, any, flag, word, day, pair, few, free, either, what, inner [unknown-key]`},
	{"half a formula", "{title: max(a, b)}", `1:16: found the key "b)" in the document; wanted one of the keys title, count, share, any, flag, word, day, pair, few, free, either, what, inner [unknown-key] between { and }, a text that contains a comma needs quotes`},
	{"refused", "{title: a, inner: {a: 1, outer: 2}}", `1:26: found the key "outer" in inner; wanted one of the keys a [not-here] it belongs outside`},
	{"null", "{title: null}", `1:9: found nothing for title; wanted a text [missing-value] write a value, or take the key out`},
	{"empty text", `{title: ""}`, `1:9: found an empty text for title; wanted a text [missing-value] write a text, or take the key out`},
	{"number for text", "{title: 1}", `1:9: found the number 1 for title; wanted a text [wrong-type] put it into quotes to make it a text`},
	{"flag for text", "{title: true}", `1:9: found the yes-no value true for title; wanted a text [wrong-type] put it into quotes to make it a text`},
	{"text for number", "{title: a, any: b}", `1:17: found the text "b" for any; wanted a number [wrong-type]`},
	{"decimal comma", `{title: a, any: "3,5"}`, `1:17: found the text "3,5" for any; wanted a number [wrong-type] write it as 3.5`},
	{"quoted number", `{title: a, any: "3"}`, `1:17: found the text "3" for any; wanted a number [wrong-type] take the quotes off`},
	{"text for flag", "{title: a, flag: on}", `1:18: found the text "on" for flag; wanted true or false [wrong-type] write true or false`},
	{"half for whole", "{title: a, count: 1.5}", `1:19: found the number 1.5 for count; wanted a whole number from 1 to 9 [wrong-type]`},
	{"below", "{title: a, count: 0}", `1:19: found the number 0 for count; wanted a whole number from 1 to 9 [out-of-range]`},
	{"above", "{title: a, share: 1.01}", `1:19: found the number 1.01 for share; wanted a number from 0 to 1 [out-of-range]`},
	{"unknown word", "{title: a, word: lefft}", `1:18: found the text "lefft" for word; wanted one of left, right [unknown-word] did you mean "left"?`},
	{"pattern", "{title: a, day: 4-30}", `1:17: found the text "4-30" for day; wanted a day, such as 04-30 [wrong-form]`},
	{"short list", "{title: a, pair: [1]}", `1:18: found a list of 1 item for pair; wanted a list of 2, each a number [wrong-length]`},
	{"long list", "{title: a, few: [a, b, c, d]}", `1:17: found a list of 4 items for few; wanted a list of 1 to 3, each a text [wrong-length]`},
	{"item", "{title: a, pair: [1, b]}", `1:22: found the text "b" for an item of pair; wanted a number [wrong-type]`},
	{"no list", "{title: a, few: b}", `1:17: found the text "b" for few; wanted a list of 1 to 3, each a text [wrong-type] put it into [ ]`},
	{"no map", "{title: a, inner: [1]}", `1:19: found a list of 1 item for inner; wanted a map with the keys a [wrong-type]`},
	{"bad name", "{title: a, free: {A_b: 1}}", `1:19: found the name "A_b"; wanted a name: words joined by - [bad-name] write it as "a-b"`},
	{"bad name beyond repair", "{title: a, free: {9: 1}}", `1:19: found the name "9"; wanted a name: words joined by - [bad-name]`},
	{"free value", "{title: a, free: {a: b}}", `1:22: found the text "b" for a; wanted a number [wrong-type]`},
	{"too few entries", "{title: a, free: {}}", `1:18: found a map of 0 keys for free; wanted a map from a name to a number, 1 to 3 of them [wrong-length]`},
	{"too many entries", "{title: a, free: {a: 1, b: 1, c: 1, d: 1}}", `1:18: found a map of 4 keys for free; wanted a map from a name to a number, 1 to 3 of them [wrong-length]`},
	{"none of several", "{title: a, either: true}", `1:20: found the yes-no value true for either; wanted a number from 0 to 1, one of often or a map from a name to a number [wrong-type] put it into quotes to make it a text`},
	{"the one that fits by kind", "{title: a, either: 2}", `1:20: found the number 2 for either; wanted a number from 0 to 1 [out-of-range]`},
	{"the whole document", "[]", `1:1: found a list of 0 items for the document; wanted a map with the keys title, count, share, any, flag, word, day, pair … [wrong-type]`},
	{"several at once", "{count: 0, share: 2, x: 1}", `1:9: found the number 0 for count; wanted a whole number from 1 to 9 [out-of-range]
1:19: found the number 2 for share; wanted a number from 0 to 1 [out-of-range]
1:22: found the key "x" in the document; wanted one of the keys title, count, share, any, flag, word, day, pair, few, free, either, what, inner [unknown-key]
1:1: found no key "title" in the document; wanted title: a text [missing-key]`},
}

func TestCheck(t *testing.T) {
	for _, tt := range checkCases {
		t.Run(tt.name, func(t *testing.T) {
			n, problems := Read("", []byte(tt.src))
			problems = append(problems, testShape.Check(n)...)
			if got := summaries(problems); got != tt.want {
				t.Errorf("got\n%s\nwant\n%s", got, tt.want)
			}
		})
	}
}

func summaries(problems []place.Problem) string {
	var lines []string
	for _, p := range problems {
		lines = append(lines, strings.TrimSpace(p.Summary()+" "+p.Hint))
	}
	return strings.Join(lines, "\n")
}

// TestCheckPart: a change need not be complete and may take keys out, but what
// it says must be well-formed.
func TestCheckPart(t *testing.T) {
	for src, want := range map[string]string{
		"{count: 1}":                          "",
		"{title: null, inner: null}":          "",
		"{inner: {}}":                         "",
		"{inner: {a: null}, free: {a: null}}": "",
		"{count: 0}":                          "out-of-range@1:9",
		"{cuont: 1}":                          "unknown-key@1:2",
	} {
		n, _ := Read("", []byte(src))
		if got := codes(testShape.CheckPart(n)); got != want {
			t.Errorf("%s: got %q, want %q", src, got, want)
		}
	}
}

// TestCheckMarks: what is reported is left out by the accessors, so that a
// decoder does not report it again; what is there can still be told from what
// is not.
func TestCheckMarks(t *testing.T) {
	n, _ := Read("", []byte("{count: 0, share: 0.5, few: [a, 1, b], free: {a: 1, B: 2, c: x}, flag: true, any: 2.5}"))
	testShape.Check(n)
	if n.Get("count") != nil || !n.Has("count") || n.Has("title") || n.Get("title") != nil {
		t.Error("a bad value must not be read, and must not look missing")
	}
	if got := n.Get("share").Float(0); got != 0.5 {
		t.Errorf("share: got %v", got)
	}
	var few []string
	for _, it := range n.Get("few").Items() {
		few = append(few, it.String())
	}
	if strings.Join(few, " ") != "a b" {
		t.Errorf("few: got %q", few)
	}
	if fields := n.Get("free").Fields(); len(fields) != 1 || fields[0].Key.Text != "a" {
		t.Errorf("free: got %d fields", len(fields))
	}
	if spoilt := n.Get("free").Spoilt(); len(spoilt) != 1 || spoilt[0].Text != "c" {
		t.Errorf("free: got %d spoilt keys", len(spoilt))
	}
	if !n.Get("flag").True() || n.Get("share").True() || n.Get("any").Int(0) != 2 || n.Get("flag").Int(7) != 7 {
		t.Error("typed access")
	}
}

// TestNilNode: what is not there can be asked all the same.
func TestNilNode(t *testing.T) {
	var n *Node
	if n.OK() || n.Has("a") || n.Get("a") != nil || n.Key("a") != nil || n.Fields() != nil || n.Items() != nil || n.Spoilt() != nil ||
		n.String() != "" || n.Float(2) != 2 || n.Int(3) != 3 || n.True() || n.Describe() != "nothing" {
		t.Error("a nil node says something")
	}
}

func TestDescribeShortens(t *testing.T) {
	n, _ := Read("", []byte("a: "+strings.Repeat("é", 200)))
	if got := n.Get("a").Describe(); len([]rune(got)) > 75 || !strings.HasSuffix(got, `…"`) {
		t.Errorf("got %s", got)
	}
}

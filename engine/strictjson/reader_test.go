package strictjson

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine/place"
)

// told writes problems as "pointer: found; wanted [code]".
func told(problems []place.Problem) (list []string) {
	for _, p := range problems {
		list = append(list, p.Summary())
	}
	return list
}

// TestReads: each reader takes its own kind and says what it found instead.
func TestReads(t *testing.T) {
	var got any
	float := func(r *Reader) { got, _ = r.Float("a length") }
	whole := func(r *Reader) { got, _ = r.Int("a count") }
	text := func(r *Reader) { got, _ = r.Text("a name") }
	yesNo := func(r *Reader) { got, _ = r.Bool("true or false") }
	for _, c := range []struct {
		doc  string
		read func(*Reader)
		want any
		says string
	}{
		{"1.5", float, 1.5, ""}, {"-2e3", float, -2000.0, ""}, {" 7 ", float, 7.0, ""},
		{`"1.5"`, float, 0.0, `found the text "1.5"; wanted a length [wrong-type]`},
		{"true", float, 0.0, "found the yes-no value true; wanted a length [wrong-type]"},
		{"null", float, 0.0, "found null; wanted a length [wrong-type]"},
		{"{}", float, 0.0, "found an object; wanted a length [wrong-type]"},
		{"[1]", float, 0.0, "found a list; wanted a length [wrong-type]"},
		{"1e400", float, 0.0, "found the number 1e400; wanted a length [not-finite]"},
		{"-1e400", float, 0.0, "found the number -1e400; wanted a length [not-finite]"},
		{"NaN", float, 0.0, "found invalid character 'N' at start of value after byte 0; wanted one JSON document in UTF-8 [not-json]"},
		{"01", float, 0.0, "found a second JSON value behind the first; wanted one JSON document [not-json]"},
		{"", float, 0.0, "found the end of the input; wanted one JSON document in UTF-8 [not-json]"},
		{"3", whole, 3, ""}, {"3.0", whole, 3, ""}, {"-4e0", whole, -4, ""},
		{"3.5", whole, 0, "found the number 3.5; wanted a count [wrong-type]"},
		{"1e10", whole, 0, "found the number 1e+10; wanted a count [wrong-type]"},
		{`"héllo"`, text, "héllo", ""}, {`"\u00e9"`, text, "é", ""},
		{"5", text, "", "found the number 5; wanted a name [wrong-type]"},
		{"\"\xff\"", text, "", "found invalid UTF-8 after byte 1; wanted one JSON document in UTF-8 [not-json]"},
		{`"\ud800"`, text, "", "found invalid surrogate pair `\\ud800\"` in string after byte 1; wanted one JSON document in UTF-8 [not-json]"},
		{"false", yesNo, false, ""}, {"true", yesNo, true, ""},
		{`"yes"`, yesNo, false, `found the text "yes"; wanted true or false [wrong-type]`},
		{"1 2", float, 1.0, "found a second JSON value behind the first; wanted one JSON document [not-json]"},
		{"1 x", float, 1.0, "found invalid character 'x' at start of value after byte 2; wanted one JSON document in UTF-8 [not-json]"},
	} {
		problems := Read([]byte(c.doc), c.read)
		says := strings.Join(told(problems), "\n")
		if says != c.says || c.says == "" && got != c.want {
			t.Errorf("%s: %v, %q; wanted %v, %q", c.doc, got, says, c.want, c.says)
		}
	}
}

// readTree reads any value, with objects whose keys are a and b.
func readTree(r *Reader) {
	switch {
	case r.IsObject():
		r.Object(func(key string) {
			if key != "a" && key != "b" {
				r.Unknown(key, []string{"a", "b"})
				return
			}
			readTree(r)
		})
	case r.IsArray():
		r.Array(func(int) { readTree(r) })
	case r.Null():
	default:
		r.Float("a number")
	}
}

// TestPlaces: every slip is told, at its JSON Pointer (RFC 6901).
func TestPlaces(t *testing.T) {
	for _, c := range []struct {
		doc  string
		want []string
	}{
		{`{"a": [1, {"b": 2}], "b": null}`, nil},
		{`{"a": [1, {"b": "x"}]}`, []string{`/a/1/b: found the text "x"; wanted a number [wrong-type]`}},
		{`{"c": 1, "a": {"d/~": [{"a": "skipped"}]}, "b": true}`, []string{
			`/c: found the key "c"; wanted one of a or b [unknown-key]`,
			`/a/d~1~0: found the key "d/~"; wanted one of a or b [unknown-key]`,
			`/b: found the yes-no value true; wanted a number [wrong-type]`}},
		{`{"a": 1, "a": "skipped"}`, []string{`/a: found the key "a" twice; wanted each key once [repeated-key]`}},
		{`{"a": 1, "\u0061": 2}`, []string{`/a: found the key "a" twice; wanted each key once [repeated-key]`}},
		{`{"a": "x", "b": ]`, []string{
			`/a: found the text "x"; wanted a number [wrong-type]`,
			`/b: found invalid character ']' after object value (expecting ',' or '}') after byte 16; wanted one JSON document in UTF-8 [not-json]`}},
		{`[1, 2`, []string{`/1: found the end of the input after byte 5; wanted one JSON document in UTF-8 [not-json]`}},
	} {
		if diff := cmp.Diff(c.want, told(Read([]byte(c.doc), readTree))); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.doc, diff)
		}
	}
}

func TestUnknownSuggests(t *testing.T) {
	problems := Read([]byte(`{"staturecm": 1}`), func(r *Reader) {
		r.Object(func(key string) { r.Unknown(key, []string{"age", "stature_cm"}) })
	})
	if len(problems) != 1 || problems[0].Hint != `did you mean "stature_cm"?` {
		t.Errorf("%+v", problems)
	}
}

// TestManyKeys: repeats are found among many keys too.
func TestManyKeys(t *testing.T) {
	var doc strings.Builder
	for i := range 200 {
		fmt.Fprintf(&doc, `,"k%d": %d`, i%199, i)
	}
	count := 0
	problems := Read([]byte("{"+doc.String()[1:]+"}"), func(r *Reader) {
		r.Object(func(string) { count++; r.Skip() })
	})
	if count != 199 || len(problems) != 1 || problems[0].Pointer != "/k0" {
		t.Errorf("%d keys, %v", count, told(problems))
	}
}

// TestItems: of each item so many, and that there are more; what ends the document
// is told whatever there was before.
func TestItems(t *testing.T) {
	codes := func(text string) (codes []string) {
		for _, p := range Read([]byte(text), func(r *Reader) {
			r.Array(func(int) {
				r.Item(2)
				r.Object(func(key string) { r.Unknown(key, []string{"known"}) })
			})
			r.Item(0)
			r.Problem("after", "", "", "")
		}) {
			codes = append(codes, p.Code+" "+p.Pointer)
		}
		return codes
	}
	const four = `{"a":1,"b":1,"c":1,"d":1}`
	want := []string{"unknown-key /0/a", "unknown-key /0/b", "more /0/c", "unknown-key /1/e", "after "}
	if got := codes("[" + four + `,{"e":1}]`); !reflect.DeepEqual(got, want) {
		t.Errorf("found %q, want %q", got, want)
	}
	if got := codes("[" + four + "}"); len(got) != 5 || !strings.HasPrefix(got[3], CodeSyntax) {
		t.Errorf("found %q, want what ends the document too", got)
	}
}

// TestMoreThanAreTold: the first MostProblems slips, then how many more.
func TestMoreThanAreTold(t *testing.T) {
	problems := Read([]byte("["+strings.Repeat(`"x",`, MostProblems+6)+"1]"), readTree)
	last := problems[len(problems)-1]
	if len(problems) != MostProblems+1 || last.Code != "more" || last.Found != "6 more problems" {
		t.Errorf("%d problems, the last %+v", len(problems), last)
	}
}

// TestLongPlacesAreCut: neither nesting nor a key without end makes the answer
// as long as the document.
func TestLongPlacesAreCut(t *testing.T) {
	for name, doc := range map[string]string{
		"nesting":  strings.Repeat(`{"a":`, 5000) + `"x"` + strings.Repeat("}", 5000),
		"a key":    `{"` + strings.Repeat("é", 5000) + `": 1}`,
		"too deep": strings.Repeat("[", 20000),
	} {
		problems := Read([]byte(doc), readTree)
		if len(problems) != 1 || len(problems[0].Pointer) > longestPointer+4 || len(problems[0].Found) > 200 || !json.Valid([]byte(fmt.Sprintf("%q", problems[0].Found))) {
			t.Errorf("%s: %d problems, pointer of %d bytes", name, len(problems), len(problems[0].Pointer))
		}
	}
}

func TestRaw(t *testing.T) {
	var raw []byte
	var after float64
	problems := Read([]byte(`[{"x": [1,  2]}, 5]`), func(r *Reader) {
		r.Array(func(i int) {
			if i == 0 {
				raw = r.Raw()
				return
			}
			after, _ = r.Float("a number")
		})
	})
	if len(problems) > 0 || string(raw) != `{"x": [1,  2]}` || after != 5 {
		t.Errorf("%s, then %v; %v", raw, after, problems)
	}
}

// TestBrokenReadsNothing: after a syntax error all readers give zero values.
func TestBrokenReadsNothing(t *testing.T) {
	problems := Read([]byte(`[,1, true, "x"]`), func(r *Reader) {
		r.Array(func(int) { r.Float("a number") })
		v, ok := r.Float("a number")
		s, _ := r.Text("a text")
		if v != 0 || ok || s != "" || r.IsObject() || r.IsNumber() || r.Null() || r.Raw() != nil || !r.Broken() {
			t.Error("something was read")
		}
		r.Skip()
	})
	if len(problems) != 1 || problems[0].Code != CodeSyntax {
		t.Error(told(problems))
	}
}

package shape

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestAt: a byte of the decoded text is found in the file, however the scalar
// is written (YAML 1.2.2: 7.3 flow scalars, 8.1 block scalars).
func TestAt(t *testing.T) {
	tests := []struct {
		name, src, find string
		line, column    int
	}{
		{"plain", "a: one + two\n", "two", 1, 10},
		{"plain over lines", "a: one\n  + two\n    * three\n", "three", 3, 7},
		{"plain with a blank line", "a: one\n\n  two\n", "two", 3, 3},
		{"plain in a list", "a: [one, two + three]\n", "three", 1, 16},
		{"plain after a wide character", "é: °ne + two\n", "two", 1, 10},
		{"single quotes", "a: 'one + two'\n", "two", 1, 11},
		{"single quotes with a quote", "a: 'it''s two'\n", "two", 1, 11},
		{"single quotes over lines", "a: 'one\n  two'\n", "two", 2, 3},
		{"double quotes", `a: "one + two"`, "two", 1, 11},
		{"double quotes with escapes", `a: "\t\"\x41é\U0001F600two"`, "two", 1, 24},
		{"double quotes with an escaped quote", `a: "pitch == \"dirt\" && two"`, "two", 1, 26},
		{"double quotes with a continued line", "a: \"one \\\n   two\"", "two", 2, 4},
		{"literal", "a: |\n  one\n  two\n", "two", 3, 3},
		{"literal, indented further", "a: |\n  one\n    two\n", "two", 3, 5},
		{"literal, with signs", "a: |2-\n  one\n  two\n", "two", 3, 3},
		{"folded", "a: >\n  one\n  + two\n", "two", 3, 5},
		{"folded, with a comment", "a: > # why\n  one\n  + two\n", "two", 3, 5},
		{"folded, with a blank line", "a: >-\n\n  one\n\n  two\n", "two", 5, 3},
		{"carriage returns", "a: >\r\n  one\r\n  two\r\n", "two", 3, 3},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			n, problems := Read("f", []byte(tt.src))
			if n == nil {
				t.Fatal(problems)
			}
			f := n.Fields()[0].Value
			if f.Kind == List {
				f = f.Items()[1]
			}
			at := strings.Index(f.Text, tt.find)
			if at < 0 {
				t.Fatalf("%q lacks %q", f.Text, tt.find)
			}
			if line, column := f.At(at); line != tt.line || column != tt.column {
				t.Errorf("got %d:%d, want %d:%d", line, column, tt.line, tt.column)
			}
		})
	}
}

// TestAtEnd: the end of a text is just behind it.
func TestAtEnd(t *testing.T) {
	for _, src := range []string{"a: one", "a: 'one'", `a: "one"`} {
		n, _ := Read("f", []byte(src))
		v := n.Get("a")
		_, column := v.At(len(v.Text))
		if want := strings.Index(src, "one") + 4; column != want {
			t.Errorf("%s: got column %d, want %d", src, column, want)
		}
	}
}

// TestAtFindsWords: words are found wherever a writer of YAML breaks the line.
func TestAtFindsWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.IntRange(1, 8).Draw(t, "words")
		var text strings.Builder
		for i := range words {
			if i > 0 {
				text.WriteString(rapid.SampledFrom([]string{" ", "\n  ", "\n\n   ", "  \n  "}).Draw(t, "gap"))
			}
			fmt.Fprintf(&text, "w%dw", i)
		}
		quote := rapid.SampledFrom([]string{"", "'", `"`}).Draw(t, "quote")
		src := "key: " + quote + text.String() + quote + "\n"
		n, problems := Read("f", []byte(src))
		if n == nil {
			t.Fatal(problems)
		}
		v := n.Get("key")
		for i := range words {
			word := fmt.Sprintf("w%dw", i)
			line, column := v.At(strings.Index(v.Text, word))
			if got := strings.Split(src, "\n")[line-1][column-1:]; !strings.HasPrefix(got, word) {
				t.Fatalf("%q: %s is said to be at %d:%d, where %q stands", src, word, line, column, got)
			}
		}
	})
}

package shape

import (
	"fmt"
	"strings"
	"testing"

	"rootcue/engine/place"
)

// codes lists the codes of problems with their places.
func codes(problems []place.Problem) string {
	var all []string
	for _, p := range problems {
		all = append(all, fmt.Sprintf("%s@%d:%d", p.Code, p.Line, p.Column))
	}
	return strings.Join(all, " ")
}

// TestReadLimits holds each limit on both its sides.
func TestReadLimits(t *testing.T) {
	nested := func(depth int) string { return strings.Repeat("[", depth) + strings.Repeat("]", depth) }
	indented := func(depth int) string {
		var b strings.Builder
		for i := range depth - 1 {
			b.WriteString(strings.Repeat(" ", i) + "a:\n")
		}
		return b.String() + strings.Repeat(" ", depth) + "b"
	}
	tests := []struct {
		name, src, want string
		usable          bool
	}{
		{"as large as may be", "a: " + strings.Repeat("x", MaxBytes-3), "", true},
		{"one byte larger", "a: " + strings.Repeat("x", MaxBytes-2), "too-large@1:1", false},
		{"as deep as may be", nested(MaxDepth), "", true},
		{"one level deeper", nested(MaxDepth + 1), "too-deep@1:51", false},
		{"as deep as may be, by indenting", indented(MaxDepth), "", true},
		{"one level deeper, by indenting", indented(MaxDepth + 1), "too-deep@51:52", false},
		{"a bracket a byte", strings.Repeat("[", MaxBytes), "too-deep@1:51", false},
		{"brackets on lines of their own", strings.Repeat("{\n", 1000), "too-deep@51:1", false},
		{"dashes", strings.Repeat("- ", 200) + "a", "too-deep@1:101", false},
		{"nothing", "", "empty@1:1", false},
		{"blanks", " \n\n", "empty@1:1", false},
		{"only a comment", "# a\n", "empty@1:1", false},
		{"only null", "null\n", "empty@1:1", false},
		{"a mark and nothing", "---\n", "empty@1:1", false},
		{"a byte order mark and nothing", "\ufeff", "empty@1:1", false},
		{"not UTF-8", "a: b\nc: \"\xff\"", "not-utf8@2:5", false},
		{"UTF-16", "\xff\xfea\x00", "not-utf8@1:1", false},
		{"a control character", "a: b\nc: \x01", "not-yaml@2:1", false},
		{"an unknown alias", "a: *b", "not-yaml@1:1", false},
		{"a second document", "a: 1\n---\nb: 2\n", "second-document@3:1", true},
		{"an end mark is no second document", "---\na: 1\n...\n", "", true},
		{"a slip in the second document", "a: 1\n---\nb: [\n", "not-yaml@3:1", false},
		{"JSON is YAML", `{"a": [1, true, null, "x\u00e9"]}`, "", true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			n, problems := Read("f", []byte(tt.src))
			if got := codes(problems); got != tt.want {
				t.Errorf("got %s, want %s", got, tt.want)
			}
			if (n != nil) != tt.usable {
				t.Errorf("usable: got %v", n != nil)
			}
		})
	}
}

// TestReadRefuses: what YAML has but a document may not use.
func TestReadRefuses(t *testing.T) {
	tests := []struct{ name, src, want string }{
		{"anchor", "a: &x 1", "not-plain@1:4"},
		{"anchor and alias", "a: &x 1\nb: *x", "not-plain@1:4 not-plain@2:4"},
		{"anchor on a key", "&x a: 1", "not-plain@1:1"},
		{"anchor on a map", "a: &x\n  b: 1", "not-plain@1:4"},
		{"merge key", "a: {<<: {b: 1}}", "not-plain@1:5"},
		{"tag", "a: !!str 1", "not-plain@1:4"},
		{"own tag", "a: !mine 1", "not-plain@1:4"},
		{"tag on a key", "!!str a: 1", "not-plain@1:1"},
		{"repeated key", "a: 1\nb: 2\na: 3", "repeated-key@3:1"},
		{"repeated key in quotes", "{a: 1, \"a\": 2}", "repeated-key@1:8"},
		{"map as a key", "? {a: 1}\n: 2", "wrong-key@1:3"},
		{"alias as a key", "a: &x b\n*x : 2", "not-plain@1:4 not-plain@2:1"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, problems := Read("f", []byte(tt.src))
			if got := codes(problems); got != tt.want {
				t.Errorf("got %s, want %s", got, tt.want)
			}
			for _, p := range problems {
				if p.File != "f" || p.Found == "" || p.Wanted == "" {
					t.Errorf("says too little: %+v", p)
				}
			}
		})
	}
}

// TestReadScalars: what a scalar is. YAML 1.2.2, 10.3.2 (core schema), without
// octal and hexadecimal numbers and with the dates of YAML 1.1 as texts.
func TestReadScalars(t *testing.T) {
	tests := []struct {
		src  string
		kind Kind
		v    float64 // of a number
		code string
	}{
		{"1", Number, 1, ""}, {"-0.5", Number, -0.5, ""}, {"+3", Number, 3, ""}, {".5", Number, 0.5, ""}, {"1e-3", Number, 0.001, ""},
		{"1E3", Number, 1000, ""}, {"0", Number, 0, ""}, {"-0", Number, 0, ""}, {"0.10", Number, 0.1, ""},
		{"9007199254740993", Number, 9007199254740992, ""},
		{"123456789012345678901234567890", Number, 123456789012345678901234567890, ""},
		{"010", Number, 0, "odd-number"}, {"0o17", Number, 0, "odd-number"}, {"0x1F", Number, 0, "odd-number"}, {"0b11", Number, 0, "odd-number"},
		{"1_000", Number, 0, "odd-number"}, {"5.", Number, 0, "odd-number"}, {"00.5", Number, 0, "odd-number"},
		{".inf", Number, 0, "not-finite"}, {"-.inf", Number, 0, "not-finite"}, {".nan", Number, 0, "not-finite"}, {"1e999", Number, 0, "not-finite"},
		{"-1e999", Number, 0, "not-finite"},
		{"true", Bool, 0, ""}, {"False", Bool, 0, ""}, {"yes", Text, 0, ""}, {"on", Text, 0, ""}, {"No", Text, 0, ""},
		{"null", Null, 0, ""}, {"~", Null, 0, ""}, {"", Null, 0, ""},
		{`"1"`, Text, 0, ""}, {"'true'", Text, 0, ""}, {`""`, Text, 0, ""}, {"04-30", Text, 0, ""}, {"2026-05-09", Text, 0, ""}, {"2 x 8", Text, 0, ""},
		{"3,5", Text, 0, ""}, {"1:30", Text, 0, ""}, {"inf", Text, 0, ""}, {"NaN", Text, 0, ""}, {"1e", Text, 0, ""},
	}
	for _, tt := range tests {
		n, problems := Read("f", []byte("a: "+tt.src+"\n"))
		v := n.raw("a")
		code := ""
		if len(problems) > 0 {
			code = problems[0].Code
		}
		if v.Kind != tt.kind || v.Number != tt.v || code != tt.code {
			t.Errorf("%q: got kind %d, number %v, %q; want %d, %v, %q", tt.src, v.Kind, v.Number, code, tt.kind, tt.v, tt.code)
		}
		if v.Kind == Bool && v.Bool != strings.EqualFold(tt.src, "true") {
			t.Errorf("%q: got %v", tt.src, v.Bool)
		}
	}
}

// TestReadSyntax: a slip of syntax is placed in its line, with a hint.
func TestReadSyntax(t *testing.T) {
	tests := []struct {
		name, src string
		line      int
		hint      string
	}{
		{"tab", "a:\n\tb: 1", 2, "indent with spaces"},
		{"colon in a text", "a: 1\nb: c: d\n", 2, "into quotes"},
		{"open quote", "a: 1\nb: \"c\n", 2, "close every quote"},
		{"open list", "a: 1\nb: [1, 2\nc: 3\n", 2, "close the list"},
		{"open map", "a: 1\nb: {c: 1\nd: 3\n", 2, "close the map"},
		{"no colon", "a: 1\nbcd\nc: 2\n", 2, "colon and a space"},
		{"list among keys", "a: 1\n- b\n", 2, "line the key up"},
		{"percent sign", "a: %x\n", 1, "special character"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			n, problems := Read("f", []byte(tt.src))
			if n != nil || len(problems) != 1 || problems[0].Code != "not-yaml" || problems[0].Line != tt.line || !strings.Contains(problems[0].Hint, tt.hint) {
				t.Errorf("got %+v", problems)
			}
		})
	}
}

// FuzzRead: no bytes make Read panic, and every value lies inside the text.
func FuzzRead(f *testing.F) {
	for _, src := range []string{"a: 1", "- [a, {b: c}]", "a: |\n  x\n", "a: &b 1\nc: *b", "? [a]\n: b", "a: 'it''s'", "\ufeffa: \"\\u00e9\""} {
		f.Add([]byte(src))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		n, problems := Read("f", src)
		if n == nil && len(problems) == 0 {
			t.Fatal("nothing, and no reason")
		}
		if n == nil {
			return
		}
		var walk func(*Node)
		walk = func(n *Node) {
			if n.Line < 1 || n.Column < 1 {
				t.Errorf("a value at %d:%d", n.Line, n.Column)
			}
			if n.Kind == Text {
				n.At(len(n.Text))
			}
			for _, it := range n.Items() {
				walk(it)
			}
			for _, f := range n.Fields() {
				walk(f.Key)
				walk(f.Value)
			}
		}
		walk(n)
		n.JSON()
	})
}

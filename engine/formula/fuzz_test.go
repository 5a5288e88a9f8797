package formula

import (
	"os"
	"strings"
	"testing"
	"unicode/utf8"
)

// FuzzCompile feeds Compile anything: it must end, not panic, and yield either
// a program that runs on any inputs or issues that lie within the source.
func FuzzCompile(f *testing.F) {
	cases, err := os.ReadFile("testdata/issues.txt")
	if err != nil {
		f.Fatal(err)
	}
	for line := range strings.Lines(string(cases)) {
		if _, src, ok := strings.Cut(strings.TrimSpace(line), ": "); ok {
			f.Add(src, uint64(0xff), 1.5)
		}
	}
	for _, s := range []string{"(", "!", "-", "**1", "hand_protected ? 1 : ", "1 < (", "+1", ",", "\"", "/*", "\x00", "é", "?", ":", "#", "abs("} {
		f.Add(strings.Repeat(s, 2000), uint64(0), 0.0)
		f.Add(strings.Repeat(s, 60), uint64(0), -1.0)
	}
	f.Fuzz(func(t *testing.T, src string, seen uint64, x float64) {
		for _, kind := range []Kind{Number, Bool} {
			p, issues := Compile(src, kind, testEnv)
			if (p == nil) == (issues == nil) {
				t.Fatalf("program %v, issues %+v", p != nil, issues)
			}
			last := 0
			for _, i := range issues {
				checkIssue(t, src, i, last)
				last = i.Offset
			}
			if p != nil {
				evalAny(t, p, seen, x)
			}
		}
	})
}

func checkIssue(t *testing.T, src string, i Issue, last int) {
	t.Helper()
	switch {
	case i.Offset < last || i.Length < 0 || i.Offset+i.Length > len(src):
		t.Fatalf("%q: %+v is outside, or out of order", src, i)
	case i.Code == "" || i.Found == "" || i.Wanted == "":
		t.Fatalf("%q: %+v says too little", src, i)
	case utf8.ValidString(src) && i.Code != "too-long" && !utf8.ValidString(src[i.Offset:i.Offset+i.Length]):
		t.Fatalf("%q: %+v cuts a character", src, i)
	}
}

// evalAny sets the slots from the bits of seen, and their values from x.
func evalAny(t *testing.T, p *Program, seen uint64, x float64) {
	t.Helper()
	in := given(nil)
	for i, n := range testEnv.Names {
		in.Seen[i] = seen>>i&1 == 1
		in.X[i] = x * float64(i+1)
		if n.Kind != Number {
			in.X[i] = float64(seen >> (8 + i) & 1)
		}
	}
	v, ok := p.Eval(in)
	if !ok && v != 0 {
		t.Fatalf("%q: not seen, yet %v", p.Source(), v)
	}
	for i := range in.Seen {
		in.Seen[i] = true
	}
	if w, stillSeen := p.Eval(in); ok && !stillSeen && !strings.Contains(p.Source(), "seen") {
		t.Fatalf("%q: %v was seen, %v is not, with more seen", p.Source(), v, w)
	}
}

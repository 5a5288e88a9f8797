package formula

import (
	"testing"

	"github.com/expr-lang/expr/parser"
	"github.com/google/go-cmp/cmp"
)

// The allow-list holds by itself, without the gate before it: these trees come
// from the parser with all its own functions on.
func TestAllowListAlone(t *testing.T) {
	tests := []struct{ src, code string }{
		{"nil", "no-nothing"},
		{"[1, 2]", "not-allowed"},
		{"{a: 1}", "not-allowed"},
		{"stature.x", "not-allowed"},
		{"stature?.x", "not-allowed"},
		{"stature[0]", "not-allowed"},
		{"stature[0:1]", "not-allowed"},
		{"stature.x(1)", "not-allowed"},
		{"$env[\"stature\"]", "not-allowed"},
		{"all([1], # > 0)", "not-allowed"},
		{"len(\"abc\")", "not-allowed"},
		{"now()", "not-allowed"},
		{"1 | abs()", "not-allowed"},
		{"let x = 1; x", "not-allowed"},
		{"1; 2", "not-allowed"},
		{"1..9", "not-allowed"},
		{"1 in 2..3", "not-allowed"},
		{"1 ?? 2", "not-allowed"},
		{"5 % 2", "not-allowed"},
		{"\"a\" matches \"b\"", "not-allowed"},
		{"\"a\" contains \"b\"", "not-allowed"},
		{"not (\"a\" startsWith \"b\")", "not-allowed"},
		{"b\"abc\"", "not-allowed"},
		{"true ?: false", "not-allowed"},
		{"1 < 2 < 3", "chained-comparison"},
		{"1 < 2 && 2 < 3", ""},
		{"true ? 1 : goal(2)", ""},
		{"-1 + +2 == 3 and not false or \"a\" != \"b\"", ""},
	}
	for _, tt := range tests {
		t.Run(tt.src, func(t *testing.T) {
			tree, err := parser.Parse(tt.src)
			if err != nil {
				t.Fatal(err)
			}
			toks, issues := tokens(tt.src)
			if issues != nil {
				t.Fatal(issues)
			}
			issues = allow(tt.src, toks, tree.Node)
			switch {
			case tt.code == "" && issues != nil:
				t.Errorf("issues: %+v", issues)
			case tt.code != "" && (len(issues) == 0 || issues[0].Code != tt.code):
				t.Errorf("got %+v, want %s", issues, tt.code)
			}
		})
	}
}

// One subtree used twice at each of 49 levels would be walked 2^49 times.
func TestSharedSubtreesEndAtOnce(t *testing.T) {
	chain, elvis := "1", "hand_protected"
	for range 49 {
		chain = "(0 < " + chain + " < 3 ? 1 : 2)"
		elvis = "(" + elvis + " ?: true)"
	}
	for src, code := range map[string]string{chain: "chained-comparison", elvis: "missing-value"} {
		if _, issues := Compile(src, Number, testEnv); len(issues) == 0 || issues[0].Code != code {
			t.Errorf("%s: %+v", src, issues)
		}
	}
	tree, err := parser.Parse(elvis)
	if err != nil {
		t.Fatal(err)
	}
	toks, _ := tokens(elvis)
	if issues := allow(elvis, toks, tree.Node); len(issues) != 1 {
		t.Errorf("%+v", issues)
	}
}

// What only expr's checker objects to is refused as well.
func TestCheckerHasALastWord(t *testing.T) {
	src := "1.5 .. 2"
	toks, _ := tokens(src)
	tree, err := parser.Parse(src)
	if err != nil {
		t.Fatal(err)
	}
	issues := check(src, toks, tree, Bool, testEnv)
	want := []Issue{{Code: "wrong-kind", Offset: 4, Found: `".. 2"`, Wanted: "values that go together"}}
	if diff := cmp.Diff(want, issues); diff != "" {
		t.Error(diff)
	}
}

// A misspelt name is an error of expr's checker too, at the same place.
func TestCheckerIsStrict(t *testing.T) {
	src := "2 * statur"
	tree, issues := parse(src, nil, testEnv)
	if issues != nil {
		t.Fatal(issues)
	}
	if at := stop(src, typecheck(tree, testEnv)); at != 4 {
		t.Errorf("stopped at byte %d", at)
	}
}

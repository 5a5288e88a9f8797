//go:build !race

package api_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/internal/report/browsertest"
)

// The comparison of three texts, line by line, as the browser runs it: each
// block that somebody changed, with its line, its lines in the three texts and
// who changed it, and the text of both. Letters are lines.
func TestThreeTexts(t *testing.T) {
	s := newPageServer(t)
	p := s.open(t, browsertest.Start(t), "/", browsertest.View{})
	for _, test := range []struct{ name, was, theirs, yours, blocks, merged string }{
		{"nobody", "abc", "abc", "abc", "", "abc"},
		{"only they", "abc", "aXc", "abc", "2 b/X/b theirs", "aXc"},
		{"only you", "abc", "abc", "aYc", "2 b/b/Y yours", "aYc"},
		{"both alike", "abc", "aZc", "aZc", "2 b/Z/Z agree", "aZc"},
		{"both, differently", "abc", "aXc", "aYc", "2 b/X/Y both", "aYc"},
		{"apart", "abcde", "aXcde", "abcdY", "2 b/X/b theirs, 5 e/e/Y yours", "aXcdY"},
		{"side by side touch", "abcd", "aXcd", "abYd", "2 bc/Xc/bY both", "abYd"},
		{"they put in", "abc", "aXbc", "abc", "2 /X/ theirs", "aXbc"},
		{"you put in at the end", "ab", "ab", "abY", "3 //Y yours", "abY"},
		{"they put in at the start", "ab", "Xab", "ab", "1 /X/ theirs", "Xab"},
		{"both put in at one place", "ab", "aXb", "aYb", "2 /X/Y both", "aYb"},
		{"they take out", "abc", "ac", "abc", "2 b//b theirs", "ac"},
		{"they take out what you change", "abc", "ac", "aYc", "2 b//Y both", "aYc"},
		{"you take out all", "abc", "abc", "", "1 abc/abc/ yours", ""},
		{"a line twice", "aba", "abaX", "Yaba", "1 //Y yours, 4 /X/ theirs", "YabaX"},
		{"nothing was there", "", "X", "Y", "1 /X/Y both", "Y"},
	} {
		lines := func(letters string) string {
			b, _ := json.Marshal(strings.Join(strings.Split(letters, ""), "\n"))
			return string(b)
		}
		got := browsertest.Eval[[]string](t, p.Page, `import("/static/threeway.js").then(({ blocks, who, merged }) => {
			const all = blocks(`+lines(test.was)+`, `+lines(test.theirs)+`, `+lines(test.yours)+`);
			const told = all.filter(who).map((b) => b.line + " " + [b.was, b.theirs, b.yours].map((l) => l.join("")).join("/") + " " + who(b));
			return [told.join(", "), merged(all).replaceAll("\n", "")];
		})`)
		if diff := cmp.Diff([]string{test.blocks, test.merged}, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", test.name, diff)
		}
	}
	// Line ends of another system are no difference.
	if n := browsertest.Eval[int](t, p.Page, `import("/static/threeway.js").then(({ blocks, who }) => blocks("a\r\nb", "a\nb", "a\r\nb").filter(who).length)`); n != 0 {
		t.Errorf("%d differences of line ends alone", n)
	}
}

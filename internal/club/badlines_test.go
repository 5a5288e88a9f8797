package club_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/internal/club"
)

// Of a long batch the bad lines are refused by their number, and the good ones
// are kept once, also when the whole batch is sent again.
func TestBadLinesOfALongBatch(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		a := member(t, c, "Harbour", "submit")
		var docs, refused []string
		repeated := 0
		for i := range 900 {
			player := i
			switch i % 9 {
			case 7:
				docs = append(docs, []string{"nonsense", `{"x": 1}`, strings.Replace(doc("P-1", "", rep(1, 12)), "P-1", `P-\u0000`, 1)}[i/9%3])
				refused = append(refused, fmt.Sprint(i+1))
				continue
			case 3: // the line before once more
				player, repeated = i-1, repeated+1
			}
			docs = append(docs, doc(fmt.Sprint("P-", player), "", rep(1, 12)))
		}
		first := club.Done{Stored: 700, Same: repeated, Refused: 100}
		for _, want := range []club.Done{first, {Same: 800, Refused: 100}} {
			lines, done := submit(t, c, a, club.NDJSON(strings.NewReader(strings.Join(docs, "\n"))), nil)
			if done != want {
				t.Fatalf("%+v, wanted %+v", done, want)
			}
			var found []string
			for _, s := range statuses(lines) {
				if n, ok := strings.CutSuffix(s, " refused"); ok {
					found = append(found, n)
				}
			}
			if diff := cmp.Diff(refused, found); diff != "" {
				t.Fatalf("numbers of the refused lines, found + and not -:\n%s", diff)
			}
		}
		if kept := len(bodies(t, c, a)); kept != 700 {
			t.Errorf("%d players have an assessment, wanted 700", kept)
		}
	})
}

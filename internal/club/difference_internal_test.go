package club

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestDifferences(t *testing.T) {
	const base = "title: A\nfaults:\n  tall-set: {title: Tall, at_most: {\"8-10\": 0.38}, drills: [walk]}\n  low: {title: Low}\ndecide: {fault_at: 0.8}\n"
	for _, tt := range []struct {
		name, late string
		want       []Difference
	}{
		{"the same", base, []Difference{}},
		{"a comment", base + "# ours\n", []Difference{{Says: "Only comments and layout changed."}}},
		{"a limit", "title: A\nfaults:\n  tall-set: {title: Tall, at_most: {\"8-10\": 0.40}, drills: [walk]}\n  low: {title: Low}\ndecide: {fault_at: 0.8}\n",
			[]Difference{{"faults/tall-set/at_most/8-10", "0.38", "0.40", "Fault tall-set, at_most, 8-10: was 0.38, is 0.40."}}},
		{"a list, a fault gone, a key new", "title: A\nfaults:\n  tall-set: {title: Tall, at_most: {\"8-10\": 0.38}, drills: [walk, run], cue: Low}\ndecide: {fault_at: 0.8}\n",
			[]Difference{
				{"faults/tall-set/drills", `["walk"]`, `["walk","run"]`, `Fault tall-set, drills: was ["walk"], is ["walk","run"].`},
				{"faults/tall-set/cue", "", "Low", "Fault tall-set, cue: new, Low."},
				{"faults/low", `{"title":"Low"}`, "", `Fault low: taken out; it was {"title":"Low"}.`},
			}},
		{"a key at the top", "title: B\nfaults:\n  tall-set: {title: Tall, at_most: {\"8-10\": 0.38}, drills: [walk]}\n  low: {title: Low}\ndecide: {fault_at: 0.9}\n",
			[]Difference{{"title", "A", "B", "title: was A, is B."}, {"decide/fault_at", "0.8", "0.9", "decide, fault_at: was 0.8, is 0.9."}}},
	} {
		if diff := cmp.Diff(tt.want, differencesOf([]byte(base), []byte(tt.late))); diff != "" {
			t.Errorf("%s: found + and not -:\n%s", tt.name, diff)
		}
	}
}

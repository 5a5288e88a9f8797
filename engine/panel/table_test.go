package panel

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestNamesComeInTheOrderPeopleExpect(t *testing.T) {
	got := []string{"b", "14", "E10", "2", "E2", "100", "", "02", "a1"}
	slices.SortFunc(got, byName)
	if d := cmp.Diff([]string{"02", "2", "14", "100", "", "E10", "E2", "a1", "b"}, got); d != "" {
		t.Error(d)
	}
}

// TestByNameIsAnOrder: never both before and after, and before carries over.
func TestByNameIsAnOrder(t *testing.T) {
	name := rapid.OneOf(rapid.StringMatching(`[0-9]{1,20}`), rapid.StringMatching(`[a-z0-9]{0,3}`), rapid.Just("007"), rapid.Just("7"))
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := name.Draw(t, "a"), name.Draw(t, "b"), name.Draw(t, "c")
		if byName(a, b) != -byName(b, a) || (byName(a, b) == 0) != (a == b) {
			t.Fatalf("%q and %q: %d and %d", a, b, byName(a, b), byName(b, a))
		}
		if byName(a, b) < 0 && byName(b, c) < 0 && byName(a, c) >= 0 {
			t.Fatalf("%q before %q before %q, but not before it", a, b, c)
		}
	})
}

func TestTablesSplitByItem(t *testing.T) {
	grades := []Grade{
		{Bib: "10", Evaluator: "E1", Item: "hands", Value: 4},
		{Bib: "9", Evaluator: "E2", Item: "arm", Look: 2, Value: 3},
		{Bib: "9", Evaluator: "E2", Item: "arm", Value: 2},
		{Bib: "10", Evaluator: "E1", Item: "arm", Value: 1},
	}
	got := tables(grades)
	if len(got) != 2 || got[0].item != "arm" || got[1].item != "hands" {
		t.Fatalf("%+v", got)
	}
	arm := got[0]
	if d := cmp.Diff([]string{"9", "10"}, arm.players); d != "" {
		t.Error(d)
	}
	want := []look{{0, 1, 1, 2}, {0, 1, 2, 3}, {1, 0, 1, 1}}
	if !slices.Equal(want, arm.looks) {
		t.Errorf("looks %v, want %v", arm.looks, want)
	}
	if first := arm.first(); !slices.Equal([]look{want[0], want[2]}, first.looks) {
		t.Errorf("first looks %v", first.looks)
	}
	if len(arm.looks) != 3 {
		t.Error("taking the first looks changed the table")
	}
	if rows := arm.rows(); !slices.Equal(rows[0], row{{1, 2}}) || !slices.Equal(rows[1], row{{0, 1}}) {
		t.Errorf("rows %v", rows)
	}
	if by := arm.byPlayer(); len(by) != 2 || len(by[0]) != 2 || len(by[1]) != 1 {
		t.Errorf("by player %v", by)
	}
}

func TestWithoutLeavesNoTrace(t *testing.T) {
	full := tableOf([][]float64{{1, 2, nan}, {nan, 3, nan}, {4, nan, 5}})
	got := full.without("E2")
	if d := cmp.Diff([]string{"1", "3"}, got.players); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]string{"E1", "E3"}, got.evaluators); d != "" {
		t.Error(d)
	}
	if !slices.Equal([]look{{0, 0, 1, 1}, {1, 0, 1, 4}, {1, 1, 1, 5}}, got.looks) {
		t.Errorf("looks %v", got.looks)
	}
	// The same as never having had that evaluator.
	rapid.Check(t, func(t *rapid.T) {
		var with, less []Grade
		for p := range 4 {
			for e := range 3 {
				if rapid.Bool().Draw(t, "seen") {
					g := Grade{Bib: string(rune('a' + p)), Evaluator: string(rune('A' + e)), Item: "arm", Value: float64(p * e)}
					with = append(with, g)
					if e != 1 {
						less = append(less, g)
					}
				}
			}
		}
		if len(less) == 0 {
			return
		}
		a, b := tables(with)[0].without("B"), tables(less)[0]
		if !slices.Equal(a.players, b.players) || !slices.Equal(a.evaluators, b.evaluators) || !slices.Equal(a.looks, b.looks) {
			t.Fatalf("%+v\n%+v", a, b)
		}
	})
}

func TestGridIsForCompletePanelsOnly(t *testing.T) {
	if rows, ok := tableOf(judges).grid(); !ok || !cmp.Equal(rows, judges) {
		t.Errorf("complete: %v %v", rows, ok)
	}
	for name, grades := range map[string][]Grade{
		"a look missing":             gradesOf("arm", [][]float64{{1, 2}, {3, nan}}),
		"a second look in its place": append(gradesOf("arm", [][]float64{{1, 2}, {3, nan}}), Grade{Bib: "1", Evaluator: "E1", Item: "arm", Look: 2}),
		"a second look beside":       append(gradesOf("arm", [][]float64{{1, 2}, {3, 4}}), Grade{Bib: "1", Evaluator: "E1", Item: "arm", Look: 2}),
	} {
		if _, ok := tables(grades)[0].grid(); ok {
			t.Errorf("%s: taken as complete", name)
		}
	}
}

func TestList(t *testing.T) {
	for want, names := range map[string][]string{
		"":                         nil,
		"a":                        {"a"},
		"a and b":                  {"a", "b"},
		"a, b, c, d, e and f":      {"a", "b", "c", "d", "e", "f"},
		"a, b, c, d, e and 2 more": {"a", "b", "c", "d", "e", "f", "g"},
	} {
		if got := list(names); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

package club_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"rootcue/engine/panel"
	"rootcue/internal/club"
)

// aTryout makes a tryout of n players graded on one item by six evaluators.
func aTryout(t testing.TB, c *club.Clubs, a club.Actor, n int) string {
	t.Helper()
	made, err := c.AddTryout(ctx, a, club.TryoutSettings{Name: "Spring", On: "2026-05-09", Panel: []string{"E1", "E2", "E3", "E4", "E5", "E6"}, Best: 3,
		OwnItems: []club.OwnItem{{Item: "arm", Title: "Arm", Kind: "grade"}}})
	if err != nil {
		t.Fatal(err)
	}
	roster := "bib,player\n"
	for i := 1; i <= n; i++ {
		roster += fmt.Sprintf("%d,P-%02d\n", i, i)
	}
	if _, err := c.AddRoster(ctx, a, made.ID, []byte(roster), true); err != nil {
		t.Fatal(err)
	}
	return made.ID
}

// grade submits lines of bib,evaluator,item,grade and tells how many were not refused.
func grade(t testing.TB, c *club.Clubs, a club.Actor, id string, lines []string) int {
	t.Helper()
	answers, err := c.SubmitGrades(ctx, a, id, []byte("bib,evaluator,item,grade\n"+strings.Join(lines, "\n")), club.AsTable)
	if err != nil {
		t.Fatal(err)
	}
	kept := 0
	for _, l := range answers {
		if l.Status != club.Refused {
			kept++
		}
	}
	return kept
}

// panelLines: E1 to E4 see the players truly but for their strictness, E5 reads
// the scale upside down, E6 gives all threes.
func panelLines(n int) (lines []string) {
	for bib := 1; bib <= n; bib++ {
		for e := range 4 {
			lines = append(lines, fmt.Sprintf("%d,E%d,arm,%g", bib, e+1, 1+3*float64(bib)/float64(n)+[]float64{0, 0.5, 0.25, 1}[e]*float64((bib*(e+3))%5)/5))
		}
		lines = append(lines, fmt.Sprintf("%d,E5,arm,%g", bib, 5-3*float64(bib)/float64(n)), fmt.Sprintf("%d,E6,arm,3", bib))
	}
	return lines
}

// However grades come in, in whatever order, parts and repetitions, the standing
// is the same to the byte; and who gives all threes or turns the scale is named.
func TestStandingWhateverTheOrder(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		a := member(t, c, "Alder", "edit")
		lines := panelLines(12)
		var first []byte
		for seed := range uint64(4) {
			id := aTryout(t, c, a, 12)
			r := rand.New(rand.NewPCG(seed, 1))
			r.Shuffle(len(lines), func(i, j int) { lines[i], lines[j] = lines[j], lines[i] })
			for part := range slices.Chunk(lines, 1+r.IntN(len(lines))) {
				if n := grade(t, c, a, id, part); n != len(part) {
					t.Fatalf("%d of %d grades are kept", n, len(part))
				}
			}
			grade(t, c, a, id, lines[:20])
			s, err := c.Standing(ctx, a, id)
			if err != nil {
				t.Fatal(err)
			}
			b, err := json.Marshal(s)
			if err != nil {
				t.Fatal(err)
			}
			if first == nil {
				first = b
			}
			if !bytes.Equal(first, b) {
				t.Errorf("seed %d stands otherwise:\n%s\n%s", seed, first, b)
			}
			for evaluator, code := range map[string]string{"E5": "upside-down", "E6": "flat"} {
				if !slices.ContainsFunc(s.Flags, func(f panel.Flag) bool { return f.Evaluator == evaluator && f.Code == code && f.Says != "" }) {
					t.Errorf("%s is not flagged %s: %v", evaluator, code, s.Flags)
				}
			}
			if len(s.Standing) != 12 || s.Standing[0].Bib != "12" || len(s.Without) != 6 {
				t.Errorf("%d stand, %v first, %d left out in turn", len(s.Standing), s.Standing, len(s.Without))
			}
		}
	})
}

// Grades given before a recusal stay and count for nothing until it is taken
// back; so do those of a player who is withdrawn.
func TestGradesLeftOut(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Alder", "edit")
	id := aTryout(t, c, a, 6)
	grade(t, c, a, id, panelLines(6))
	count := func(want int, says string) {
		t.Helper()
		s, err := c.Standing(ctx, a, id)
		if err != nil {
			t.Fatal(err)
		}
		var said []string
		for _, n := range s.Notes {
			said = append(said, n.Says)
		}
		if s.Grades != want || !strings.Contains(strings.Join(said, "\n"), says) {
			t.Errorf("%d grades count, wanted %d and %q in %q", s.Grades, want, says, said)
		}
	}
	count(36, "")
	if _, err := c.PutRecusal(ctx, a, id, "E2", "3", "family"); err != nil {
		t.Fatal(err)
	}
	count(35, "one grade of bib 3 by E2, who is recused")
	if n := grade(t, c, a, id, []string{"3,E2,arm,5", "4,E2,arm,5"}); n != 1 {
		t.Errorf("%d grades are kept, wanted the one of the player E2 may grade", n)
	}
	m, err := c.MissingLooks(ctx, a, id, 20)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range m.Plan {
		if l.Evaluator == "E2" && l.Bib == "3" {
			t.Error("a look is planned that E2 is recused from")
		}
	}
	if _, err := c.Withdraw(ctx, a, id, "1", true); err != nil {
		t.Fatal(err)
	}
	count(29, "6 grades of bib 1, who is withdrawn")
	if err := c.DropRecusal(ctx, a, id, "E2", "3"); err != nil {
		t.Fatal(err)
	}
	count(30, "bib 1")
}

// A panel that falls apart is answered with its parts and what would join them.
func TestUnconnectedTryout(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Alder", "edit")
	id := aTryout(t, c, a, 4)
	grade(t, c, a, id, []string{"1,E1,arm,3", "1,E2,arm,4", "2,E1,arm,2", "3,E3,arm,2", "4,E3,arm,5"})
	s, err := c.Standing(ctx, a, id)
	if err != nil || len(s.Standing) != 0 || len(s.Splits) != 1 || len(s.Splits[0].Joins) != 1 {
		t.Errorf("%v, standing %v, splits %v", err, s.Standing, s.Splits)
	}
}

package club_test

import (
	"fmt"
	"strings"
	"testing"

	"rootcue/internal/club"
)

// BenchmarkStanding reads and judges tryouts of growing size: so many players,
// 12 evaluators, 10 items, the evaluators of each player in turn.
func BenchmarkStanding(b *testing.B) {
	for _, players := range []int{75, 150, 300} {
		b.Run(fmt.Sprintf("%d players", players), func(b *testing.B) {
			c := embedded(b)
			a := member(b, c, "Alder", "edit")
			s := club.TryoutSettings{Name: "Large", On: "2026-05-09", Best: 30}
			for e := range 12 {
				s.Panel = append(s.Panel, fmt.Sprintf("E%d", e+1))
			}
			for i := range 10 {
				s.OwnItems = append(s.OwnItems, club.OwnItem{Item: fmt.Sprintf("item-%d", i), Title: "Item", Kind: "grade"})
			}
			t, err := c.AddTryout(ctx, a, s)
			if err != nil {
				b.Fatal(err)
			}
			var roster, grades strings.Builder
			roster.WriteString("bib,player\n")
			grades.WriteString("bib,evaluator,item,grade\n")
			n := 0
			for p := range players {
				fmt.Fprintf(&roster, "%d,P-%03d\n", p+1, p)
				for i := range 10 {
					for e := range 12 {
						if (p+i+e)%9 < 5 { // some 67 grades a player
							fmt.Fprintf(&grades, "%d,E%d,item-%d,%d\n", p+1, e+1, i, 1+(p*7+i*3+e*(p%5))%5)
							n++
						}
					}
				}
			}
			if _, err := c.AddRoster(ctx, a, t.ID, []byte(roster.String()), true); err != nil {
				b.Fatal(err)
			}
			if _, err := c.SubmitGrades(ctx, a, t.ID, []byte(grades.String()), club.AsTable); err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.Standing(ctx, a, t.ID); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(n), "grades")
		})
	}
}

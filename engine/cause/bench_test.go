package cause

import (
	"math/rand/v2"
	"strconv"
	"testing"
)

// BenchmarkThrow measures one question about a throw to second and the credit
// that follows, whatever was seen.
func BenchmarkThrow(b *testing.B) {
	spec, _ := throwNetwork(b)
	g, err := Compile(spec)
	if err != nil {
		b.Fatal(err)
	}
	n := len(spec.Background)
	for _, c := range []struct {
		name         string
		seen, absent float64
	}{
		{"all-seen", 1, 0},
		{"sparse", 0.15, 0},
		{"none", 0, 0},
		{"some-not-applicable", 0.8, 0.2},
	} {
		b.Run(c.name, func(b *testing.B) {
			r := rand.New(rand.NewPCG(1, 2))
			ev := &Evidence{Ratio: make([]float64, n), Absent: make([]bool, n)}
			parts := make([]float64, n)
			for i := range n {
				ev.Ratio[i] = 1
				if r.Float64() < c.seen {
					p := r.Float64()
					ev.Ratio[i] = p / (1 - p)
				}
				ev.Absent[i] = r.Float64() < c.absent
				parts[i] = r.Float64()
			}
			w := g.NewWork()
			recovers, carries := make([]float64, n), make([]float64, len(w.Edges()))
			b.ReportAllocs()
			for b.Loop() {
				if err := w.Infer(ev); err != nil {
					b.Fatal(err)
				}
				w.Credit(parts, recovers, carries)
			}
		})
	}
}

func BenchmarkCompileThrow(b *testing.B) {
	spec, _ := throwNetwork(b)
	for b.Loop() {
		if _, err := Compile(spec); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkWidest measures a question at the bound of MaxCells.
func BenchmarkWidest(b *testing.B) {
	for _, c := range []struct{ causes, pairs int }{{15, 0}, {9, 6}} {
		b.Run(strconv.Itoa(c.causes)+"-causes-"+strconv.Itoa(c.pairs)+"-pairs", func(b *testing.B) {
			spec := fanIn(c.causes, c.pairs)
			w := mustCompile(b, spec).NewWork()
			ev := unseen(len(spec.Background))
			for b.Loop() {
				if err := w.Infer(ev); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkCompileWidest(b *testing.B) {
	spec := fanIn(15, 0)
	for b.Loop() {
		mustCompile(b, spec)
	}
}

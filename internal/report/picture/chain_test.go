package picture

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// boxes gives the left upper corner of each box of a chain, in order.
func boxes(d Drawing) (list []point) {
	for _, s := range d.Shapes {
		if strings.HasPrefix(s.Class, "node") {
			n := numbers(s.D)
			list = append(list, point{n[0], n[1]})
		}
	}
	return list
}

// TestChainRunsLeftToRight: in any tree every effect lies to the right of its
// cause, no two boxes touch, and all lie in the drawing.
func TestChainRunsLeftToRight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(t, "boxes")
		titles, links := []string{"root"}, []Link(nil)
		for i := 1; i < n; i++ {
			titles = append(titles, "effect")
			links = append(links, Link{From: rapid.IntRange(0, i-1).Draw(t, "from"), To: i, Label: "0.05 s"})
		}
		d := Chain(titles, links, "gives back 0.1 s")
		at := boxes(d)
		if len(at) != n {
			t.Fatalf("%d boxes, want %d", len(at), n)
		}
		for _, l := range links {
			if at[l.To].x < at[l.From].x+boxWide || at[l.To].y < at[l.From].y {
				t.Fatalf("box %d at %v does not follow box %d at %v", l.To, at[l.To], l.From, at[l.From])
			}
		}
		for i := range at {
			if at[i].x+boxWide > d.W || at[i].y+boxHigh > d.H {
				t.Fatalf("box %d at %v leaves the drawing of %v × %v", i, at[i], d.W, d.H)
			}
			for k := range i {
				if math.Abs(at[i].x-at[k].x) < boxWide && math.Abs(at[i].y-at[k].y) < boxHigh {
					t.Fatalf("boxes %d and %d touch", k, i)
				}
			}
		}
	})
}

// TestChainTexts: titles, seconds on the arrows, and what the root gives back.
func TestChainTexts(t *testing.T) {
	d := Chain([]string{"The ball changes hands too low", "The hand takes the long way", "The throw is off line"},
		[]Link{{From: 0, To: 1, Label: "0.05 s"}, {From: 0, To: 2}}, "gives back 0.06 s")
	var said []string
	for _, s := range d.Shapes {
		if s.Text != "" {
			said = append(said, s.Text)
		}
	}
	want := []string{"0.05 s", "The ball changes", "hands too low", "The hand takes the", "long way", "The throw is off", "line", "gives back 0.06 s"}
	if !slices.Equal(said, want) {
		t.Errorf("texts %q\nwant %q", said, want)
	}
	if n := len(shapes(d, "arrow")); n != 2 {
		t.Errorf("%d arrows", n)
	}
}

func TestBroken(t *testing.T) {
	for title, want := range map[string]string{
		"":                                  "",
		"one":                               "one",
		"The set is too tall":               "The set is too|tall",
		"aaaaaaaaaaaaaaaaaaaaaaaaa b":       "aaaaaaaaaaaaaaaaaaaaaaaaa|b",
		"a bb ccc dddd eeeee ffffff gggg h": "a bb ccc dddd|eeeee ffffff gggg|h",
		"La carrera de los pies empieza tarde de más": "La carrera de los|pies empieza tarde|de más",
	} {
		if got := strings.Join(broken(title, 18, 3), "|"); got != want {
			t.Errorf("%q: %q, want %q", title, got, want)
		}
	}
}

// TestExchange: goal, parts and rest follow each other to scale and end at what
// was seen.
func TestExchange(t *testing.T) {
	d := Exchange(1, []float64{0.2, 0.05}, 1.3, "goal", "seen")
	scale := 592 / (1.3 * 1.02)
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 0.11 {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	left, _, right, _ := box(t, shapes(d, "bar")[0])
	near("goal starts", left, 4)
	near("goal ends", right, 4+scale)
	at := 4 + scale
	for i, want := range []float64{0.2, 0.05} {
		left, _, right, _ := box(t, shapes(d, "part")[i])
		near("a part starts", left, at)
		at += want * scale
		near("a part ends", right, at)
	}
	left, _, right, _ = box(t, shapes(d, "left-over")[0])
	near("the rest starts", left, at)
	near("the rest ends", right, 4+1.3*scale)
	faster := Exchange(1, nil, 0.9, "goal", "seen")
	_, _, right, _ = box(t, shapes(faster, "bar")[0])
	near("a faster bar ends", right, 4+0.9*592/1.02)
	if len(shapes(faster, "left-over")) != 0 {
		t.Error("a faster throw leaves nothing over")
	}
}

// TestTrend: in order from left to right, higher values higher, the last marked.
func TestTrend(t *testing.T) {
	d := Trend([]Dot{{24, 1.5}, {22, 1.6}, {17, 1.4}}, math.Inf(-1), 12)
	n := numbers(shapes(d, "trend")[0].D)
	if !(n[0] < n[2] && n[2] < n[4] && n[1] < n[3] && n[3] < n[5]) {
		t.Errorf("a falling line is drawn through %v", n)
	}
	if len(shapes(d, "dot")) != 1 || shapes(d, "dot")[0].X != n[4] {
		t.Error("the last session is not marked")
	}
	_, top, _, _ := box(t, shapes(d, Goal)[0])
	if top < n[5] {
		t.Errorf("the stripes start at %v, above the last value at %v", top, n[5])
	}
	if len(shapes(Trend([]Dot{{1, 0}, {1, 0}}, math.Inf(-1), math.Inf(1)), Goal)) != 0 {
		t.Error("stripes without a limit")
	}
}

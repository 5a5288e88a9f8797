package cause

import (
	"slices"
	"strconv"
	"strings"
	"testing"
)

// throwLinks is a network of the size and shape of a throw to second base: what
// leads to what, as instructors put it (common practice).
const throwLinks = `
tall-set tall-transfer 0.6
tall-transfer straight-legs 0.6
straight-legs weak-throw 0.5
front-leg-straight high-throw 0.3
turned-shoulders mitt-closed 0.3
turned-shoulders first-step-off-line 0.2
mitt-closed fumbled-change 0.4
low-hand low-transfer 0.3
low-transfer ball-drop 0.6
low-transfer long-hand-path 0.8
low-transfer slow-change 0.3
drawback long-hand-path 0.8
ball-drop long-hand-path 0.5
fumbled-change slow-change 0.7
first-step-off-line stride-off-line 0.4
stride-off-line off-line-throw 0.6
stride-off-line early-open 0.4
early-open off-line-throw 0.5
early-open weak-throw 0.4
short-arm weak-throw 0.4
short-stride weak-throw 0.3
low-elbow off-line-throw 0.3
low-elbow high-throw 0.3
poor-grip off-line-throw 0.3
poor-grip weak-throw 0.2
no-follow-through weak-throw 0.3
long-hand-path slow-landing 0.6
long-stride slow-landing 0.6
slow-change slow-landing 0.5
late-feet slow-landing 0.5
slow-landing slow-exchange 0.8
slow-finish slow-exchange 0.4
tall-transfer slow-landing 0.3
slow-exchange slow-pop 0.9
weak-throw slow-pop 0.8
`

// throwNetwork has two pairs open and three faults that stand alone.
func throwNetwork(t testing.TB) (spec Spec, names []string) {
	t.Helper()
	number := func(name string) int {
		i := slices.Index(names, name)
		if i < 0 {
			i = len(names)
			names = append(names, name)
		}
		return i
	}
	for _, line := range strings.Split(strings.TrimSpace(throwLinks), "\n") {
		field := strings.Fields(line)
		spec.Links = append(spec.Links, Link{number(field[0]), number(field[1]), parse(t, field[2])})
	}
	spec.Pairs = []Pair{
		{number("drawback"), number("long-stride"), 0.65, 0.7},
		{number("late-feet"), number("slow-change"), 0.5, 0.5},
	}
	for _, alone := range []string{"hand-unprotected", "poor-stagger", "deep-set"} {
		number(alone)
	}
	common := []string{"tall-set", "tall-transfer", "turned-shoulders", "low-transfer", "drawback", "long-stride"}
	for _, name := range names {
		background := 0.10
		if slices.Contains(common, name) {
			background = 0.25
		}
		spec.Background = append(spec.Background, background)
	}
	return spec, names
}

func parse(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

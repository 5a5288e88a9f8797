package cause

import (
	"math/bits"
	"testing"

	"pgregory.net/rapid"
)

// The credits of one effect, by summing over all patterns of firing.
func TestCreditTableAgreesWithPatterns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mechanisms := []float64{drawChance(t, "background")}
		for range rapid.IntRange(0, 6).Draw(t, "causes") {
			mechanisms = append(mechanisms, drawChance(t, "strength"))
		}
		table := newCreditTable(mechanisms)
		for set := range 1 << (len(mechanisms) - 1) {
			present := set<<1 | 1 // the background always is
			want := make([]float64, len(mechanisms))
			some := 0.0
			for pattern := 1; pattern < 1<<len(mechanisms); pattern++ {
				if pattern&^present != 0 {
					continue
				}
				chance := 1.0
				for m, p := range mechanisms {
					if pattern>>m&1 == 1 {
						chance *= p
					} else if present>>m&1 == 1 {
						chance *= 1 - p
					}
				}
				some += chance
				for m := range mechanisms {
					if pattern>>m&1 == 1 {
						want[m] += chance / float64(bits.OnesCount(uint(pattern)))
					}
				}
			}
			for m, row := range table {
				if some > 0 {
					near(t, "credit", row[set], want[m+1]/some, 1e-12)
				} else {
					near(t, "credit where nothing can fire", row[set], 0, 0)
				}
			}
		}
	})
}

// The Shapley value of the OR game by its definition, orders of arrival: a
// mechanism is pivotal if it fired and none before it did.
func TestCreditIsTheShapleyValue(t *testing.T) {
	table := newCreditTable([]float64{0.1, 0.4, 0.8})
	mechanisms := []float64{0.1, 0.4, 0.8}
	orders := [][]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}}
	value := make([]float64, 3)
	for _, order := range orders {
		none := 1.0
		for _, m := range order {
			value[m] += none * mechanisms[m] / float64(len(orders))
			none *= 1 - mechanisms[m]
		}
	}
	some := 1 - 0.9*0.6*0.2
	near(t, "first cause", table[0][3], value[1]/some, 1e-12)
	near(t, "second cause", table[1][3], value[2]/some, 1e-12)
}

// Of two causes that both fired, each is credited with half; the stronger one
// with more when it is not known which fired; the background with the rest.
func TestShareOf(t *testing.T) {
	for _, c := range []struct {
		m       int
		chances []float64
		want    float64
	}{
		{0, []float64{1, 1}, 0.5},
		{1, []float64{1, 1, 1}, 1.0 / 3},
		{0, []float64{0.5}, 1},
		{0, []float64{0}, 0},
		{0, []float64{0, 0.3}, 0},
		{1, []float64{0, 1e-300}, 1},
		{1, []float64{1e-18, 1e-18}, 0.5},
	} {
		near(t, "share", shareOf(c.m, c.chances), c.want, 1e-12)
	}
}

// Chances far below the rounding of 1 keep their digits.
func TestTinyChances(t *testing.T) {
	table := noisyOr([]float64{1e-20, 2e-20})
	near(t, "background alone", table[1], 1e-20, 1e-33)
	near(t, "with the cause", table[3], 3e-20, 1e-33)
}

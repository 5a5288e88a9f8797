package cause

import "math"

// HeldReading is one rep in which a member of a pair was held to what is sound:
// Chance, in [0, 1], is the chance of the *other* member in that rep. HeldFirst
// tells which was held.
type HeldReading struct {
	Pair      int
	HeldFirst bool
	Chance    float64
}

// slip is the chance that a held rep misleads: the cause was held and the effect
// came all the same, or the effect was held and its cause stayed away.
const slip = 0.1

// odds are those of the direction as written, by this reading alone. Holding
// Second while First stays speaks for First as the cause: keeping an effect away
// does not take its cause away. Holding First while Second stays speaks against.
func (h HeldReading) odds() float64 {
	stayed := (1-slip)*h.Chance + slip*(1-h.Chance)
	left := slip*h.Chance + (1-slip)*(1-h.Chance)
	if h.HeldFirst {
		return left / stayed
	}
	return stayed / left
}

// forwardWeights writes, for each pair, the weight of the direction as written:
// its prior odds times those of its held readings. Free evidence does not count.
func forwardWeights(pairs []Pair, held []HeldReading, forward []float64) {
	for p, pair := range pairs {
		logOdds := math.Log(pair.Weight / (1 - pair.Weight)) // ±Inf at 0 and 1
		for _, h := range held {
			if h.Pair == p {
				logOdds += math.Log(h.odds())
			}
		}
		forward[p] = 1 / (1 + math.Exp(-logOdds))
	}
}

// directionWeight is the product over pairs for one choice of directions.
func directionWeight(choice int, forward []float64) float64 {
	weight := 1.0
	for p, f := range forward {
		if choice>>p&1 == 1 {
			f = 1 - f
		}
		weight *= f
	}
	return weight
}

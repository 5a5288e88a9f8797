package progress

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// fewestPlayers is the fewest players a side for anything to be said of a cue.
const fewestPlayers = 5

// A Comparison is the change of a measure in the players who were given a cue,
// less the change in those who were not, in the measure's unit, with Welch's
// 95 % interval. It describes two groups that nobody drew by lot: those who got
// the cue mostly started worse, and the worst tend to move back by themselves.
type Comparison struct {
	With, Without    int     // players
	ChangeWith       float64 // mean change
	ChangeWithout    float64
	Difference       float64
	Low, High        float64
	DegreesOfFreedom float64
}

// CueHelped compares the changes of two groups of players. Not ok below five
// players a side: nothing is said then.
func CueHelped(with, without []float64) (c Comparison, ok bool) {
	if len(with) < fewestPlayers || len(without) < fewestPlayers {
		return Comparison{With: len(with), Without: len(without)}, false
	}
	a, b := variancePerPlayer(with), variancePerPlayer(without)
	c = Comparison{With: len(with), Without: len(without), ChangeWith: mean(with), ChangeWithout: mean(without)}
	c.Difference = c.ChangeWith - c.ChangeWithout
	c.Low, c.High = c.Difference, c.Difference
	if a+b == 0 {
		return c, true
	}
	// Welch 1947, Satterthwaite 1946.
	c.DegreesOfFreedom = sq(a+b) / (sq(a)/float64(len(with)-1) + sq(b)/float64(len(without)-1))
	half := distuv.StudentsT{Sigma: 1, Nu: c.DegreesOfFreedom}.Quantile(0.975) * math.Sqrt(a+b)
	c.Low, c.High = c.Difference-half, c.Difference+half
	return c, true
}

// variancePerPlayer is s²/n.
func variancePerPlayer(x []float64) float64 {
	m, sum := mean(x), 0.0
	for _, v := range x {
		sum += sq(v - m)
	}
	n := float64(len(x))
	return sum / (n - 1) / n
}

package panel

import (
	"fmt"
	"math"
)

// Agreement is how far the evaluators of one item agree. Design is "complete"
// when every evaluator graded every player, else "incomplete"; second looks by
// the same evaluator take no part. Figures that cannot be known are null.
type Agreement struct {
	Item   string   `json:"item"`
	Design string   `json:"design"`
	ICC21  Interval `json:"icc_2_1"`
	ICC31  Interval `json:"icc_3_1"`
	ICC2K  Interval `json:"icc_2_k"`
	ICC3K  Interval `json:"icc_3_k"`
	Alpha  Figure   `json:"alpha"` // Krippendorff's; nominal for yes-no, else interval
	Kappa  Figure   `json:"kappa"` // Cohen's, yes-no items only; over two evaluators the mean of all pairs
	Says   string   `json:"says"`
}

// agreement judges one item.
func agreement(t table) Agreement {
	t = t.first()
	a := Agreement{Item: t.item, Design: "incomplete", Alpha: Figure(alpha(t)), Kappa: Figure(unknown)}
	rows, complete := t.grid()
	if complete {
		a.Design = "complete"
	}
	if t.yesNo {
		a.Kappa = Figure(kappa(t))
	}
	var c Components
	icc, known := ICC{}, len(t.players) > 1 && len(t.evaluators) > 1 && free(t) > 0
	switch {
	case !known:
		icc = noICC()
	case complete:
		icc, c = CompleteICC(rows), reml(t)
	default:
		c = reml(t)
		icc = componentICC(c, looksBehindMean(t))
	}
	a.ICC21, a.ICC31, a.ICC2K, a.ICC3K = icc.TwoOne, icc.ThreeOne, icc.TwoK, icc.ThreeK
	a.Says = agreementSays(t, a, c, known)
	return a
}

func noICC() ICC {
	none := Interval{Figure(unknown), Figure(unknown), Figure(unknown)}
	return ICC{none, none, none, none}
}

// free is the error's degrees of freedom in a connected table.
func free(t table) int { return len(t.looks) - len(t.players) - len(t.evaluators) + 1 }

// looksBehindMean is the harmonic mean of the number of looks a player got: k
// of the mean's reliability in an incomplete design.
func looksBehindMean(t table) float64 {
	sum := 0.0
	for _, looks := range t.byPlayer() {
		sum += 1 / float64(len(looks))
	}
	return float64(len(t.players)) / sum
}

// agreementSays puts the figures into words a coach can use.
func agreementSays(t table, a Agreement, c Components, known bool) string {
	switch {
	case len(t.evaluators) < 2:
		return "one evaluator only: there is nobody to agree with"
	case t.yesNo && !math.IsNaN(agreeing(t)):
		return fmt.Sprintf("two evaluators say the same of a player %.0f times in 100", 100*agreeing(t))
	case !known:
		return "too few players were seen by more than one evaluator to say how far they agree"
	case !a.ICC21.Value.Known():
		return "all grades are the same: the item tells no players apart"
	}
	return fmt.Sprintf("two evaluators of the same player would differ by %s on average, by %s if both were equally strict; %s of the spread of single grades is the players",
		ofAGrade(differ(c.Evaluator+c.Residual)), ofAGrade(differ(c.Residual)), share(a.ICC21))
}

// ofAGrade writes "0.8 of a grade" or "1.4 grades".
func ofAGrade(x float64) string {
	if x < 0.995 {
		return fmt.Sprintf("%.2g of a grade", x)
	}
	return fmt.Sprintf("%.1f grades", x)
}

// share writes "29 % (2 to 76)"; a share below zero is none.
func share(i Interval) string {
	percent := func(f Figure) float64 { return 100 * max(float64(f), 0) }
	if !i.Low.Known() || !i.High.Known() {
		return fmt.Sprintf("%.0f %%", percent(i.Value))
	}
	return fmt.Sprintf("%.0f %% (%.0f to %.0f)", percent(i.Value), percent(i.Low), percent(i.High))
}

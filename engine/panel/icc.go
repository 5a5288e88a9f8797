package panel

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ICC holds the four intraclass correlations of a two-way panel, in the names
// of Shrout & Fleiss 1979: case 2 takes evaluators as a sample of those who
// might have graded, case 3 these evaluators alone; 1 is one evaluator's grade,
// K the mean of all of theirs.
type ICC struct {
	TwoOne, ThreeOne, TwoK, ThreeK Interval
}

// squares are the mean squares of a complete two-way table (n players, k
// evaluators): between players, between evaluators (judges) and error.
type squares struct {
	n, k          float64
	bms, jms, ems float64
}

// CompleteICC gives the correlations of a complete table (rows players, columns
// evaluators, at least two of each) with the F intervals of Shrout & Fleiss
// 1979, 95 %. Values below zero stand as computed.
func CompleteICC(rows [][]float64) ICC {
	s := meanSquares(rows)
	if s.bms == 0 && s.ems == 0 {
		none := Interval{Figure(unknown), Figure(unknown), Figure(unknown)}
		return ICC{none, none, none, none}
	}
	two, three := s.two(), s.three()
	return ICC{TwoOne: two, ThreeOne: three, TwoK: stepUp(two, s.k), ThreeK: stepUp(three, s.k)}
}

func meanSquares(rows [][]float64) squares {
	n, k := len(rows), len(rows[0])
	byRow, byColumn, all := make([]float64, n), make([]float64, k), 0.0
	for i, row := range rows {
		for j, y := range row {
			byRow[i] += y / float64(k)
			byColumn[j] += y / float64(n)
			all += y / float64(n*k)
		}
	}
	s := squares{n: float64(n), k: float64(k)}
	for _, m := range byRow {
		s.bms += s.k * (m - all) * (m - all) / (s.n - 1)
	}
	for _, m := range byColumn {
		s.jms += s.n * (m - all) * (m - all) / (s.k - 1)
	}
	for i, row := range rows {
		for j, y := range row {
			r := y - byRow[i] - byColumn[j] + all
			s.ems += r * r / ((s.n - 1) * (s.k - 1))
		}
	}
	return s.cleaned()
}

// cleaned takes mean squares that are rounding noise beside the others as zero,
// so that perfect agreement is told as such.
func (s squares) cleaned() squares {
	floor := 1e-20 * max(s.bms, s.jms, s.ems)
	for _, v := range []*float64{&s.bms, &s.jms, &s.ems} {
		if *v <= floor {
			*v = 0
		}
	}
	return s
}

// two is ICC(2,1). Its interval uses Satterthwaite's degrees of freedom v for the
// error of an absolute grade (Shrout & Fleiss 1979, p. 424). v falls below 1 only
// where r is negative and its parts cancel; then no interval is known.
func (s squares) two() Interval {
	n, k, bms, jms, ems := s.n, s.k, s.bms, s.jms, s.ems
	r := (bms - ems) / (bms + (k-1)*ems + k*(jms-ems)/n)
	if ems == 0 && jms == 0 {
		return Interval{1, 1, 1}
	}
	a, b := k*r/(n*(1-r)), 1+k*r*(n-1)/(n*(1-r))
	v := sq(a*jms+b*ems) / (sq(a*jms)/(k-1) + sq(b*ems)/((n-1)*(k-1)))
	if !(v >= 1) {
		return Interval{Figure(r), Figure(unknown), Figure(unknown)}
	}
	spread := k*jms + (k*n-k-n)*ems
	lower, upper := quantileF(n-1, v), quantileF(v, n-1)
	return Interval{
		Value: Figure(r),
		Low:   Figure(n * (bms - lower*ems) / (lower*spread + n*bms)),
		High:  Figure(n * (upper*bms - ems) / (spread + n*upper*bms)),
	}
}

// three is ICC(3,1).
func (s squares) three() Interval {
	if s.ems == 0 {
		return Interval{1, 1, 1}
	}
	single := func(f float64) Figure { return Figure((f - 1) / (f + s.k - 1)) }
	f, df := s.bms/s.ems, (s.n-1)*(s.k-1)
	return Interval{single(f), single(f / quantileF(s.n-1, df)), single(f * quantileF(df, s.n-1))}
}

// stepUp turns the reliability of one grade into that of the mean of k
// (Spearman–Brown), ends of the interval included. An end at or below −1/(k−1)
// has no counterpart.
func stepUp(one Interval, k float64) Interval {
	up := func(f Figure) Figure { return f * Figure(k) / (1 + Figure(k-1)*f) }
	end := func(f Figure) Figure {
		if 1+Figure(k-1)*f <= 0 {
			return Figure(unknown)
		}
		return up(f)
	}
	return Interval{up(one.Value), end(one.Low), end(one.High)}
}

// quantileF is the point of F(d1, d2) that leaves 2.5 % above it.
func quantileF(d1, d2 float64) float64 {
	return distuv.F{D1: d1, D2: d2}.Quantile(0.975)
}

func sq(x float64) float64 { return x * x }

// componentICC gives the correlations from variance components; k is the number
// of grades behind a player's mean. No interval is known for them.
func componentICC(c Components, k float64) ICC {
	share := func(noise float64) Interval {
		if c.Player+noise == 0 {
			return Interval{Figure(unknown), Figure(unknown), Figure(unknown)}
		}
		return Interval{Figure(c.Player / (c.Player + noise)), Figure(unknown), Figure(unknown)}
	}
	two, three := c.Evaluator+c.Residual, c.Residual
	return ICC{share(two), share(three), share(two / k), share(three / k)}
}

// differ is the mean difference, sign aside, of two grades that share a normal
// error of this variance: 2σ/√π.
func differ(variance float64) float64 { return 2 * math.Sqrt(variance/math.Pi) }

package panel

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Trained is how one evaluator's grades of a training set compare with the
// instructor's, on one item. Differences are evaluator less instructor, in grades.
type Trained struct {
	Evaluator string       `json:"evaluator"`
	Item      string       `json:"item"`
	N         int          `json:"n"`       // observations both graded
	Gives     Interval     `json:"gives"`   // mean difference: positive gives more
	Differ    Figure       `json:"differ"`  // mean difference, sign aside
	ICC21     Interval     `json:"icc_2_1"` // agreement of single grades
	Kappa     Figure       `json:"kappa"`   // yes-no items
	Differs   []Difference `json:"differs"` // where they differ, farthest first
	Says      string       `json:"says"`
}

// A Difference is one observation graded differently.
type Difference struct {
	Bib        string `json:"bib"` // the observation's name in the training set
	Evaluator  Figure `json:"evaluator"`
	Instructor Figure `json:"instructor"`
}

// Training compares every other evaluator with the instructor, item by item, on
// the observations both graded; first looks only. Bib names the observation.
func Training(grades []Grade, instructor string) []Trained {
	out := []Trained{}
	for _, t := range tables(grades) {
		t = t.first()
		i := slices.Index(t.evaluators, instructor)
		for e, name := range t.evaluators {
			if i >= 0 && e != i {
				out = append(out, trained(t, name, e, i))
			}
		}
	}
	return out
}

func trained(t table, name string, evaluator, instructor int) Trained {
	r := Trained{Evaluator: name, Item: t.item, Kappa: Figure(unknown), Differs: []Difference{}, ICC21: noICC().TwoOne}
	var rows [][]float64
	var differences []float64
	sum := 0.0
	said := t.byPlayer()
	for p, looks := range said {
		own, right := gradeBy(looks, evaluator), gradeBy(looks, instructor)
		if math.IsNaN(own) || math.IsNaN(right) {
			continue
		}
		rows, differences = append(rows, []float64{own, right}), append(differences, own-right)
		sum += math.Abs(own - right)
		if own != right {
			r.Differs = append(r.Differs, Difference{t.players[p], Figure(own), Figure(right)})
		}
	}
	r.N = len(rows)
	r.Differ = Figure(sum / float64(r.N))
	r.Gives = meanInterval(differences)
	if r.N > 1 {
		r.ICC21 = CompleteICC(rows).TwoOne
	}
	if t.yesNo {
		r.Kappa = Figure(Kappa(pairCounts(said, evaluator, instructor)))
	}
	slices.SortStableFunc(r.Differs, func(a, b Difference) int {
		return cmp.Compare(math.Abs(float64(b.Evaluator-b.Instructor)), math.Abs(float64(a.Evaluator-a.Instructor)))
	})
	r.Says = trainedSays(r, t.yesNo)
	return r
}

// gradeBy is the grade one evaluator gave, NaN for none.
func gradeBy(looks []look, evaluator int) float64 {
	for _, l := range looks {
		if l.evaluator == evaluator {
			return l.grade
		}
	}
	return unknown
}

// meanInterval is the mean with its 95 % interval by Student's t.
func meanInterval(x []float64) Interval {
	if len(x) == 0 {
		return noICC().TwoOne
	}
	m := mean(x)
	if len(x) == 1 {
		return Interval{Figure(m), Figure(unknown), Figure(unknown)}
	}
	n := float64(len(x))
	half := distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile(0.975) * deviation(x) / math.Sqrt(n)
	return Interval{Figure(m), Figure(m - half), Figure(m + half)}
}

func trainedSays(r Trained, yesNo bool) string {
	switch {
	case r.N == 0:
		return "no observation was graded by both"
	case yesNo:
		return fmt.Sprintf("the same answer as the instructor in %d of %d", r.N-len(r.Differs), r.N)
	case !r.Gives.Low.Known():
		return fmt.Sprintf("one observation graded by both; it differs by %.2g", float64(r.Differ))
	}
	lean := "no lean to either side shows"
	if r.Gives.Low > 0 {
		lean = fmt.Sprintf("gives %s more", ofAGrade(float64(r.Gives.Value)))
	} else if r.Gives.High < 0 {
		lean = fmt.Sprintf("gives %s less", ofAGrade(-float64(r.Gives.Value)))
	}
	return fmt.Sprintf("over %d observations %s (95 %%: %+.2g to %+.2g); single grades differ by %s on average",
		r.N, lean, float64(r.Gives.Low), float64(r.Gives.High), ofAGrade(float64(r.Differ)))
}

package engine

import "math"

// flowCredit passes the seconds of each part, and one unit for each fault
// seen, from effects back to what starts them.
func (j *judge) flowCredit() {
	n := len(j.faults)
	j.secs, j.recovers, j.explains = make([]float64, n), make([]float64, n), make([]float64, n)
	j.row = make([]float64, n)
	j.carries = make([]float64, len(j.work.Edges()))
	for k, p := range j.parts {
		j.secs[j.partOf[k]] = p.S
	}
	units := make([]float64, n)
	for i := range j.faults {
		if j.faults[i].seen() {
			units[i] = j.faults[i].chance
		}
	}
	j.work.Credit(units, j.explains, j.carries)
	j.work.Credit(j.secs, j.recovers, j.carries)
}

// uRecovers is the standard uncertainty of what a fault gives back: √(aᵀ Cov a)
// with a_i the fraction of part i that ends at it.
func (j *judge) uRecovers(fault int) float64 {
	j.work.CreditRow(fault, j.row)
	return j.fit.UOf(j.parts, func(k int) float64 { return j.row[j.partOf[k]] })
}

// rounded is recovers in steps of 5 ms, the finest difference worth ranking by.
func rounded(s float64) float64 { return math.Round(s / 0.005) }

package panel

import "slices"

// A Metric says how far apart two values are in Krippendorff's α, squared.
type Metric int

// The metrics of α: names only, places in an order, or distances on a scale.
const (
	NominalMetric Metric = iota
	OrdinalMetric
	IntervalMetric
)

// Alpha is Krippendorff's α for any pattern of looks (Krippendorff, Computing
// Krippendorff's alpha-reliability, 2011): units[i] are the values given to the
// i-th player, by whomever; a player with one value says nothing. NaN where no
// two values are paired, or all paired values are the same.
func Alpha(units [][]float64, metric Metric) float64 {
	var paired [][]float64
	var all []float64
	for _, u := range units {
		if len(u) > 1 {
			paired = append(paired, u)
			all = append(all, u...)
		}
	}
	slices.Sort(all)
	n := float64(len(all))
	d := newDistance(all, metric)
	observed, expected := 0.0, d.sum(all)/(n-1)
	for _, u := range paired {
		observed += d.sum(slices.Sorted(slices.Values(u))) / float64(len(u)-1)
	}
	if len(paired) == 0 || expected == 0 {
		return unknown
	}
	return 1 - observed/expected
}

// distance measures between values that occur; place is where a value stands in
// the order of all paired values, in halves (the middle of its run).
type distance struct {
	metric Metric
	place  map[float64]float64
}

// newDistance takes all paired values, sorted.
func newDistance(all []float64, metric Metric) distance {
	d := distance{metric, map[float64]float64{}}
	for i := 0; i < len(all); {
		j := i
		for j < len(all) && all[j] == all[i] {
			j++
		}
		d.place[all[i]] = float64(i+j) / 2
		i = j
	}
	return d
}

// sum adds the squared distances over all ordered pairs of the sorted values.
// Ordinal distance is the number of values between the middles of two runs.
func (d distance) sum(values []float64) float64 {
	n := float64(len(values))
	if d.metric == NominalMetric {
		unequal := n * n
		for i := 0; i < len(values); {
			j := i
			for j < len(values) && values[j] == values[i] {
				j++
			}
			unequal -= sq(float64(j - i))
			i = j
		}
		return unequal
	}
	// Σ_i Σ_j (x_i − x_j)² = 2n Σ(x − mean)²
	x := slices.Clone(values)
	if d.metric == OrdinalMetric {
		for i, v := range values {
			x[i] = d.place[v]
		}
	}
	m, sum := mean(x), 0.0
	for _, v := range x {
		sum += sq(v - m)
	}
	return 2 * n * sum
}

// alpha is Krippendorff's α of an item: nominal for yes-no, else interval.
func alpha(t table) float64 {
	metric := IntervalMetric
	if t.yesNo {
		metric = NominalMetric
	}
	units := make([][]float64, len(t.players))
	for _, l := range t.looks {
		units[l.player] = append(units[l.player], l.grade)
	}
	return Alpha(units, metric)
}

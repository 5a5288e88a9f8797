package panel

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// coincidences is Krippendorff's own route to α, step by step: the matrix of
// coincidences, then observed and expected disagreement with the squared metric.
func coincidences(units [][]float64, metric Metric) float64 {
	var values []float64
	for _, u := range units {
		if len(u) > 1 {
			values = append(values, u...)
		}
	}
	slices.Sort(values)
	values = slices.Compact(values)
	at := func(v float64) int { return slices.Index(values, v) }
	o := square(len(values))
	for _, u := range units {
		for i := range u {
			for j := range u {
				if i != j {
					o[at(u[i])][at(u[j])] += 1 / float64(len(u)-1)
				}
			}
		}
	}
	n, all := make([]float64, len(values)), 0.0
	for c := range o {
		for _, x := range o[c] {
			n[c] += x
		}
		all += n[c]
	}
	squared := func(c, k int) float64 {
		switch metric {
		case NominalMetric:
			if c == k {
				return 0
			}
			return 1
		case OrdinalMetric:
			sum := -(n[c] + n[k]) / 2
			for g := min(c, k); g <= max(c, k); g++ {
				sum += n[g]
			}
			return sum * sum
		}
		return (values[c] - values[k]) * (values[c] - values[k])
	}
	observed, expected := 0.0, 0.0
	for c := range o {
		for k := range o {
			observed += o[c][k] * squared(c, k)
			expected += n[c] * n[k] * squared(c, k) / (all - 1)
		}
	}
	if expected == 0 {
		return math.NaN()
	}
	return 1 - observed/expected
}

func TestAlphaByTheCoincidenceMatrix(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var units [][]float64
		for range rapid.IntRange(1, 8).Draw(t, "units") {
			u := []float64{}
			for range rapid.IntRange(0, 4).Draw(t, "values") {
				u = append(u, float64(rapid.IntRange(0, 4).Draw(t, "value")))
			}
			units = append(units, u)
		}
		for _, metric := range []Metric{NominalMetric, OrdinalMetric, IntervalMetric} {
			got, want := Alpha(units, metric), coincidences(units, metric)
			if math.IsNaN(got) != math.IsNaN(want) || math.Abs(got-want) > 1e-9 {
				t.Fatalf("metric %d of %v: %v, by coincidences %v", metric, units, got, want)
			}
		}
	})
}

func TestAlphaOfClearCutUnits(t *testing.T) {
	for _, c := range []struct {
		name   string
		units  [][]float64
		metric Metric
		want   float64
	}{
		{"always the same", [][]float64{{1, 1}, {2, 2}, {5, 5, 5}}, IntervalMetric, 1},
		// Two units, values crossed: observed 1, expected 4·2·2/(4·3) = 2/3.
		{"always the other", [][]float64{{0, 1}, {1, 0}}, NominalMetric, -0.5},
		{"single values say nothing", [][]float64{{1, 1}, {2, 2}, {7}, {}}, NominalMetric, 1},
		{"ranks only, whatever the distance", [][]float64{{1, 1}, {2, 2}, {1000, 1000}}, OrdinalMetric, 1},
	} {
		near(t, c.name, Alpha(c.units, c.metric), c.want)
	}
}

// TestMetricsSeeWhatTheyShould: shifting and stretching the scale leaves
// interval α alone, any rising change of scale ordinal α, any renaming nominal α.
func TestMetricsSeeWhatTheyShould(t *testing.T) {
	change := func(f func(float64) float64) [][]float64 {
		var out [][]float64
		for _, u := range krippendorff {
			var v []float64
			for _, x := range u {
				v = append(v, f(x))
			}
			out = append(out, v)
		}
		return out
	}
	stretched := change(func(x float64) float64 { return 10*x - 3 })
	bent := change(math.Exp)
	renamed := change(func(x float64) float64 { return math.Mod(3*x, 7) })
	near(t, "interval, stretched", Alpha(stretched, IntervalMetric), Alpha(krippendorff, IntervalMetric))
	near(t, "ordinal, bent", Alpha(bent, OrdinalMetric), Alpha(krippendorff, OrdinalMetric))
	near(t, "nominal, renamed", Alpha(renamed, NominalMetric), Alpha(krippendorff, NominalMetric))
	if a, b := Alpha(bent, IntervalMetric), Alpha(krippendorff, IntervalMetric); math.Abs(a-b) < 1e-3 {
		t.Errorf("interval α does not see that the scale was bent: %v", a)
	}
	if a, b := Alpha(renamed, OrdinalMetric), Alpha(krippendorff, OrdinalMetric); math.Abs(a-b) < 1e-3 {
		t.Errorf("ordinal α does not see that the values were renamed: %v", a)
	}
}

func TestItemsTakeTheMetricOfTheirKind(t *testing.T) {
	grades := gradesOf("hand", [][]float64{{1, 1}, {0, 1}, {0, 0}, {1, 1}})
	near(t, "numbers", alpha(tables(grades)[0]), Alpha([][]float64{{1, 1}, {0, 1}, {0, 0}, {1, 1}}, IntervalMetric))
	for i := range grades {
		grades[i].YesNo = true
	}
	near(t, "yes-no", alpha(tables(grades)[0]), Alpha([][]float64{{1, 1}, {0, 1}, {0, 0}, {1, 1}}, NominalMetric))
}

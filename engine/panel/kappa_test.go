package panel

import (
	"math"
	"testing"
)

// Cohen, A coefficient of agreement for nominal scales, Educational and
// Psychological Measurement 20 (1960): table as printed, N = 200.
func TestCohen1960(t *testing.T) {
	near(t, "κ", Kappa([][]float64{{88, 14, 18}, {10, 40, 10}, {2, 6, 12}}), 0.491525424)
}

func TestKappaOfClearCutTables(t *testing.T) {
	for _, c := range []struct {
		name   string
		counts [][]float64
		want   float64
	}{
		{"always the same", [][]float64{{5, 0}, {0, 5}}, 1},
		{"always the other", [][]float64{{0, 5}, {5, 0}}, -1},
		{"as chance has it", [][]float64{{4, 4}, {4, 4}}, 0},
		{"one answer only", [][]float64{{9, 0}, {0, 0}}, nan},
		{"nothing", [][]float64{{0, 0}, {0, 0}}, nan},
	} {
		got := Kappa(c.counts)
		if math.IsNaN(c.want) != math.IsNaN(got) || math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
}

func TestKappaOfAPanelIsTheMeanOfItsPairs(t *testing.T) {
	grades := gradesOf("hand", [][]float64{{1, 1, 0}, {0, 0, 1}, {1, 0, 0}, {0, 0, nan}, {1, 1, 1}})
	for i := range grades {
		grades[i].YesNo = true
	}
	// Pairs by hand. E1–E2 over five: same 4; E1 no 2 yes 3, E2 no 3 yes 2: chance (6 + 6)/25.
	first := (0.8 - 12.0/25) / (1 - 12.0/25)
	// E1–E3 over players 1 2 3 5: same 1; E1 no 1 yes 3, E3 no 2 yes 2: chance (2 + 6)/16.
	second := (0.25 - 0.5) / 0.5
	// E2–E3: same players 3 and 5; E2 no 2 yes 2: chance (4 + 4)/16.
	third := 0.0
	near(t, "mean κ", kappa(tables(grades)[0]), (first+second+third)/3)
}

// krippendorff is the worked example of Krippendorff, Computing Krippendorff's
// alpha-reliability (2011), section D: 12 units, 4 observers, missing values.
var krippendorff = [][]float64{
	{1, 1, 1}, {2, 2, 3, 2}, {3, 3, 3, 3}, {3, 3, 3, 3}, {2, 2, 2, 2}, {1, 2, 3, 4},
	{4, 4, 4, 4}, {1, 1, 2, 1}, {2, 2, 2, 2}, {5, 5, 5}, {1, 1}, {3},
}

func TestKrippendorff2011(t *testing.T) {
	near(t, "nominal", Alpha(krippendorff, NominalMetric), 0.743421053)
	near(t, "ordinal", Alpha(krippendorff, OrdinalMetric), 0.815387504)
	near(t, "interval", Alpha(krippendorff, IntervalMetric), 0.849107143) // last digits from memory, recomputed
}

func TestAlphaWhereNothingIsPaired(t *testing.T) {
	for _, units := range [][][]float64{nil, {{1}, {2}}, {{3, 3}, {3, 3}}} {
		if got := Alpha(units, IntervalMetric); !math.IsNaN(got) {
			t.Errorf("%v: got %v, want unknown", units, got)
		}
	}
}

package workload_test

import (
	"fmt"
	"math"
	"testing"

	"rootcue/engine/workload"
)

// NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4: lambda 0.3, the
// average starts at 50. The table is printed to two decimals.
func TestEWMAHandbook(t *testing.T) {
	data := []float64{52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}
	want := []string{"50.60", "49.52", "50.56", "50.18", "50.16", "49.21", "49.75", "49.85", "50.26", "50.33",
		"50.11", "49.36", "49.52", "50.05", "49.38", "49.92", "50.73", "51.23", "51.94", "51.99"}
	for i, got := range workload.EWMA(50, 0.3, data) {
		if s := fmt.Sprintf("%.2f", got); s != want[i] {
			t.Errorf("step %d: %s, printed %s", i+1, s, want[i])
		}
	}
}

func TestEWMAConstant(t *testing.T) {
	for _, v := range []float64{0, 1, 1. / 3, 41, 1e6 + 0.1} {
		values := make([]float64, 400)
		for i := range values {
			values[i] = v
		}
		if got := workload.EWMA(v, 2./29, values); got[399] != v {
			t.Errorf("constant %v drifts to %v", v, got[399])
		}
	}
}

// daily is a ledger with so many throws on each of n days up to 2026-05-10.
func daily(t *testing.T, n int, count func(day int) string) []string {
	t.Helper()
	first := date(t, "2026-05-10").AddDays(1 - n)
	var lines []string
	for i := range n {
		if c := count(i); c != "" {
			lines = append(lines, first.AddDays(i).String()+" practice-throws "+c)
		}
	}
	return lines
}

func load(t *testing.T, lines []string) workload.Load {
	t.Helper()
	return ask(t, policies(t, "pitch-smart"), 12, "2026-05-10", lines...).Load
}

func TestLoad(t *testing.T) {
	constant := func(int) string { return "37" }
	l := load(t, daily(t, 60, constant))
	if l.Ratio == nil || *l.Ratio != 1 || *l.Mean7 != 37 || *l.Mean28 != 37 || *l.Seed != 37 || l.Days != 60 {
		t.Errorf("constant load: %+v", l)
	}
	if l := load(t, daily(t, 27, constant)); l.Ratio != nil || l.Mean7 != nil || l.Days != 27 || l.Says != "Withheld: 27 days recorded, 28 are needed." {
		t.Errorf("27 days: %+v", l)
	}
	if l := load(t, daily(t, 28, constant)); l.Ratio == nil {
		t.Errorf("28 days: %+v", l)
	}
	if l := load(t, daily(t, 40, func(i int) string {
		if i == 20 {
			return "?"
		}
		return "30"
	})); l.Ratio != nil || l.Says != "Withheld: a count of throws on 2026-04-21 is missing." {
		t.Errorf("a missing count: %+v", l)
	}
	if l := load(t, daily(t, 40, func(int) string { return "0" })); l.Ratio != nil || l.Mean28 == nil || *l.Mean28 != 0 {
		t.Errorf("no throws: %+v", l)
	}
	if l := load(t, nil); l.Days != 0 || l.Mean7 != nil {
		t.Errorf("no entries: %+v", l)
	}
}

// One day of 100 throws, then none: the means are 100·(1 − λ)^k with λ = 2/8
// and 2/29.
func TestLoadDecay(t *testing.T) {
	l := load(t, daily(t, 30, func(i int) string {
		if i == 0 {
			return "100"
		}
		return ""
	}))
	// The last entry is 29 days back; the day asked about closes the record.
	short, long := 100*math.Pow(0.75, 29), 100*math.Pow(27./29, 29)
	if math.Abs(*l.Mean7-short) > 1e-6 || math.Abs(*l.Mean28-long) > 1e-6 || math.Abs(*l.Ratio-short/long) > 1e-6 {
		t.Errorf("%v %v %v; want %v %v", *l.Mean7, *l.Mean28, *l.Ratio, short, long)
	}
}

package body

import (
	"math"
	"testing"
)

// within fails unless got lies within tolerance of want.
func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.10g, wanted %.10g ± %.2g", what, got, want, tolerance)
	}
}

// centile is the stature in cm at z standard deviations (LMS method, Cole 1990).
func centile(r row, z float64) float64 { return r.m * math.Pow(1+r.l*r.s*z, 1/r.l) }

// TestCentiles: CDC 2000 stature-for-age, boys of 120.5 and 144.5 months, the
// 5th and 95th percentiles at z = ±1.6448536; the medians of both.
func TestCentiles(t *testing.T) {
	ten, twelve := at(boys, 120.5), at(boys, 144.5)
	within(t, "P5 at 120.5 months", centile(ten, -1.6448536), 128.1624542, 1e-6)
	within(t, "P95 at 120.5 months", centile(ten, 1.6448536), 149.9053151, 1e-6)
	within(t, "median at 120.5 months", centile(ten, 0), 138.8234114, 1e-9)
	within(t, "median at 144.5 months", centile(twelve, 0), 149.3088178, 1e-9)
	within(t, "L at 144.5 months", twelve.l, 0.420919142, 0)
	within(t, "S at 144.5 months", twelve.s, 0.049947823, 0)
}

// TestRowsGrow: a year apart, taller each year, with a spread no child's table
// leaves.
func TestRowsGrow(t *testing.T) {
	for name, table := range map[string][]row{"boys": boys, "girls": girls} {
		if len(table) != 11 || table[0].months != 96.5 {
			t.Errorf("%s: %d rows from %v months", name, len(table), table[0].months)
		}
		for i := 1; i < len(table); i++ {
			if a, b := table[i-1], table[i]; b.months != a.months+12 || b.m <= a.m || b.s < 0.035 || b.s > 0.055 {
				t.Errorf("%s: row %v after %v", name, b, a)
			}
		}
	}
}

// TestAt: linear between rows, the last row beyond it.
func TestAt(t *testing.T) {
	within(t, "M halfway", at(boys, 102.5).m, (128.1237104+133.7344759)/2, 1e-9)
	within(t, "S halfway", at(boys, 102.5).s, (0.045127088+0.046217028)/2, 1e-12)
	within(t, "M on a row", at(girls, 132.5).m, 144.2609497, 0)
	within(t, "M beyond the last row", at(girls, 222).m, 163.1307866, 0)
}

// TestStature: the formula by hand from the published rows (M and S of the rows
// either side of 12·age + 6 months, 11/24 of the way; the last row for 18).
func TestStature(t *testing.T) {
	const at = 5.5 / 12 // 102 months lie 5.5 past 96.5
	type ms struct{ m, s float64 }
	b := []ms{{128.1237104, 0.045127088}, {133.7344759, 0.046217028}, {138.8234114, 0.047610108}, {143.7303663, 0.048937694}, {149.3088178, 0.049947823},
		{156.4098858, 0.050333444}, {164.1418486, 0.04894519}, {170.139255, 0.045889585}, {173.6100518, 0.043085685}, {175.340954, 0.041408129}, {176.1850208, 0.04064364}}
	g := []ms{{127.8262759, 0.045968169}, {133.1303527, 0.04688401}, {138.2111552, 0.048704503}, {144.2609497, 0.050524236}, {151.4865636, 0.048599314},
		{157.3436995, 0.043859135}, {160.4776996, 0.041022401}, {161.8979913, 0.040083845}, {162.5689958, 0.039820663}, {162.9238449, 0.039732048}, {163.1307866, 0.039687311}}
	for age := 8; age <= 18; age++ {
		i := age - 8
		j := min(i+1, 10)
		boy := ms{b[i].m + at*(b[j].m-b[i].m), b[i].s + at*(b[j].s-b[i].s)}
		girl := ms{g[i].m + at*(g[j].m-g[i].m), g[i].s + at*(g[j].s-g[i].s)}
		variance := (math.Pow(boy.m*boy.s, 2)+math.Pow(girl.m*girl.s, 2))/2 + math.Pow((boy.m-girl.m)/2, 2)
		m, u, ok := Stature(age)
		if !ok {
			t.Fatalf("no stature for age %d", age)
		}
		within(t, "stature", m, (boy.m+girl.m)/200, 1e-12)
		within(t, "u", u, math.Sqrt(variance)/100, 1e-12)
	}
}

// TestStatureRounded: figures a reader can check against a growth chart.
func TestStatureRounded(t *testing.T) {
	for age, cm := range map[int]float64{8: 130.5, 12: 153.4, 18: 169.7} {
		m, _, _ := Stature(age)
		within(t, "stature in cm", 100*m, cm, 0.1)
	}
	eighteen, _, _ := Stature(18)
	if old, _, ok := Stature(25); !ok || old != eighteen {
		t.Errorf("at 25 the stature is %v, at 18 %v", old, eighteen)
	}
}

func TestNoTableBelowEight(t *testing.T) {
	for _, age := range []int{-1, 0, 7} {
		if m, u, ok := Stature(age); ok || m != 0 || u != 0 {
			t.Errorf("age %d has a stature %v ± %v", age, m, u)
		}
	}
}

// TestSegments: Drillis & Contini 1966 as drawn in Winter, fig. 4.1; the ear is
// from ANSUR II, men.
func TestSegments(t *testing.T) {
	for name, c := range map[string]struct{ got, want float64 }{
		"eye": {EyeHeight, 0.936}, "chin": {ChinHeight, 0.870}, "shoulder": {ShoulderHeight, 0.818}, "elbow": {ElbowHeight, 0.630},
		"hip": {HipHeight, 0.530}, "knee": {KneeHeight, 0.285}, "ankle": {AnkleHeight, 0.039}, "upper arm": {UpperArm, 0.186},
		"forearm": {Forearm, 0.146}, "hand": {Hand, 0.108}, "ear": {EarHeight, 0.925}, "breadth": {ShoulderBreadth, 0.259}, "u of the breadth": {ShoulderBreadthU, 0.1},
	} {
		if c.got != c.want {
			t.Errorf("%s is %v of stature, wanted %v", name, c.got, c.want)
		}
	}
	// The upper arm hangs from the shoulder to the elbow (0.818 − 0.630 = 0.188).
	within(t, "shoulder to elbow", ShoulderHeight-ElbowHeight, UpperArm, 0.003)
}

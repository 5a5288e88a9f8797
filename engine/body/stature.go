package body

import "math"

// A row is one line of the CDC 2000 stature-for-age tables: months, and the
// L, M (cm) and S of the LMS method.
type row struct{ months, l, m, s float64 }

// Boys and girls from 8 to 18 years, the half-month rows a year apart. US government public
// data: Kuczmarski et al., Advance Data 314, National Center for Health
// Statistics, 2000.
var (
	boys = []row{
		{96.5, 0.455267507, 128.1237104, 0.045127088},
		{108.5, 0.415687443, 133.7344759, 0.046217028},
		{120.5, 0.505564115, 138.8234114, 0.047610108},
		{132.5, 0.487939275, 143.7303663, 0.048937694},
		{144.5, 0.420919142, 149.3088178, 0.049947823},
		{156.5, 0.816239713, 156.4098858, 0.050333444},
		{168.5, 1.670433444, 164.1418486, 0.04894519},
		{180.5, 2.205180153, 170.139255, 0.045889585},
		{192.5, 2.113023423, 173.6100518, 0.043085685},
		{204.5, 1.724738292, 175.340954, 0.041408129},
		{216.5, 1.399999187, 176.1850208, 0.04064364},
	}
	girls = []row{
		{96.5, -0.079283065, 127.8262759, 0.045968169},
		{108.5, 0.08414848, 133.1303527, 0.04688401},
		{120.5, 0.284748919, 138.2111552, 0.048704503},
		{132.5, 0.744289752, 144.2609497, 0.050524236},
		{144.5, 1.303044695, 151.4865636, 0.048599314},
		{156.5, 1.242968236, 157.3436995, 0.043859135},
		{168.5, 0.95657215, 160.4776996, 0.041022401},
		{180.5, 0.895569834, 161.8979913, 0.040083845},
		{192.5, 0.941145943, 162.5689958, 0.039820663},
		{204.5, 0.999505539, 162.9238449, 0.039732048},
		{216.5, 1.047571238, 163.1307866, 0.039687311},
	}
)

// at interpolates a table linearly; past its last row the last row stands.
func at(table []row, months float64) row {
	last := len(table) - 1
	if months >= table[last].months {
		return table[last]
	}
	i := 1
	for table[i].months < months {
		i++
	}
	a, b := table[i-1], table[i]
	t := (months - a.months) / (b.months - a.months)
	mix := func(x, y float64) float64 { return x + t*(y-x) }
	return row{months, mix(a.l, b.l), mix(a.m, b.m), mix(a.s, b.s)}
}

// YoungestListed is the youngest playing age, in years, the tables cover.
const YoungestListed = 8

// Stature is the expected standing height in metres, and its standard
// uncertainty, of a player of a playing age whose sex is not stated: the mean of
// the medians of boys and girls at 12·age + 6 months, with
// u² = mean of the two (M·S)² + (difference of the medians / 2)².
// ok is false below YoungestListed.
func Stature(age int) (m, u float64, ok bool) {
	if age < YoungestListed {
		return 0, 0, false
	}
	months := float64(12*age + 6)
	b, g := at(boys, months), at(girls, months)
	sb, sg, half := b.m*b.s, g.m*g.s, (b.m-g.m)/2
	return (b.m + g.m) / 200, math.Sqrt((sb*sb+sg*sg)/2+half*half) / 100, true
}

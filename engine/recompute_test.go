package engine_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootcue/engine"
)

// TestAgainstAPlainModel works random rubrics and observations out twice.
func TestAgainstAPlainModel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawTrial(t)
		a := assessText(t, parseText(t, d.rubricText()), d.observationText(d.inOrder()))
		c := comparison{T: t, m: newModel(d), a: a}
		c.findings()
		c.clock()
		c.chains()
		c.workOn()
		c.lookNext()
	})
}

type comparison struct {
	*rapid.T
	m *model
	a *engine.Assessment
}

// near fails unless a number is the model's, to 1e-9; NaN is not known.
func (c *comparison) near(what string, got engine.Number, want float64) {
	c.Helper()
	if math.IsNaN(want) && !got.Known() {
		return
	}
	if !(math.Abs(float64(got)-want) <= 1e-9*math.Max(1, math.Abs(want))) {
		c.Fatalf("%s is %v, the model says %v", what, float64(got), want)
	}
}

func (c *comparison) same(what string, got, want any) {
	c.Helper()
	if fmt.Sprint(got) != fmt.Sprint(want) {
		c.Fatalf("%s: %v, the model says %v", what, got, want)
	}
}

func (c *comparison) findings() {
	for i, f := range c.a.Findings {
		m := c.m
		c.same(f.Fault, f.Verdict, m.verdict[i])
		c.near(f.Fault+" in context", f.InContext, m.network.inContext[i])
		if math.IsNaN(m.chance[i]) {
			c.same(f.Fault+" has a chance or reps", f.Chance != nil || f.InReps != nil, false)
			continue
		}
		c.near(f.Fault+" chance", *f.Chance, m.chance[i])
		c.same(f.Fault+" in reps", *f.InReps, fmt.Sprintf("%d/%d", m.past[i][0], m.past[i][1]))
		c.near(f.Fault+" costs", f.CostsS, m.cost[i])
		if !math.IsNaN(m.cost[i]) {
			c.near(f.Fault+" u of its costs", f.UCostsS, m.uCost[i])
		}
	}
}

func (c *comparison) clock() {
	want, got := &c.m.clock, &c.a.Clock
	c.same("parts", len(got.Parts), len(want.fault))
	rest := want.lost
	for k, p := range got.Parts {
		c.same("part", p.Fault, fmt.Sprintf("f%d", want.fault[k]))
		c.near("prior", p.PriorS, want.m[k])
		c.near("part", p.S, want.x[k])
		unit := make([]float64, len(want.fault))
		unit[k] = 1
		c.near("u of the part", p.U, want.uOf(unit))
		rest -= want.x[k]
	}
	c.same("clock seen", got.Seen, want.exchange > 0)
	if !want.seen {
		return
	}
	c.near("exchange", got.ExchangeS, want.exchange)
	c.near("lost", got.LostS, want.lost)
	c.near("u of the loss", got.ULostS, want.u)
	c.near("unexplained", got.UnexplainedS, rest)
	c.same("clock-does-not-fit", hasNote(c.a, "clock-does-not-fit"), !want.fits)
	c.same("faster-than-faults", hasNote(c.a, "faster-than-faults"), !want.slow)
}

func (c *comparison) chains() {
	listed := map[string]engine.Chain{}
	for _, chain := range c.a.Chains {
		listed[chain.Root] = chain
	}
	for i := range c.m.faults {
		recovers, explains := c.m.flowed.ends[i], c.m.units.ends[i]
		chain, is := listed[fmt.Sprintf("f%d", i)]
		if math.Abs(recovers-0.001) > 1e-9 && math.Abs(explains-0.5) > 1e-9 {
			c.same("listed as a root", is, recovers >= 0.001 || explains >= 0.5)
		}
		if !is {
			continue
		}
		c.near("recovers", chain.RecoversS, recovers)
		c.near("explains", chain.Explains, explains)
		a := make([]float64, len(c.m.clock.fault))
		for k, part := range c.m.clock.fault {
			one := make([]float64, len(c.m.faults))
			one[part] = 1
			a[k] = c.m.network.flow(one, nil).ends[i]
		}
		if want := c.m.clock.uOf(a); math.Abs(float64(chain.U)-want) > 1e-8 {
			c.Fatalf("u of recovers is %v, the model says %v", chain.U, want)
		}
		c.links(i, chain.Links)
	}
}

// links holds those of a chain against the edges that lead on from its root.
func (c *comparison) links(root int, got []engine.ChainLink) {
	reached, used := map[int]bool{root: true}, map[int]bool{}
	for range c.m.faults {
		for e, edge := range c.m.network.edges {
			if reached[edge.from] && c.m.network.share(e) >= 0.10 && c.m.network.inContext[edge.to] >= 0.5 {
				used[e], reached[edge.to] = true, true
			}
		}
	}
	c.same(fmt.Sprintf("links from f%d", root), len(got), len(used))
	for e := range used {
		edge := c.m.network.edges[e]
		at := slices.IndexFunc(got, func(l engine.ChainLink) bool {
			return l.From == fmt.Sprintf("f%d", edge.from) && l.To == fmt.Sprintf("f%d", edge.to)
		})
		if at < 0 {
			c.Fatalf("no link from f%d to f%d below f%d", edge.from, edge.to, root)
		}
		c.near("share", got[at].Share, c.m.network.share(e))
		c.near("carries", got[at].CarriesS, c.m.flowed.carries[e])
	}
}

// workOn holds the order against the model's, where rounding leaves no doubt,
// and what each correction gains.
func (c *comparison) workOn() {
	var got []int
	for _, w := range c.a.WorkOn {
		got = append(got, faultNumber(w.Fault))
	}
	if want, sure := c.m.toWorkOn(); sure {
		c.same("work on", got, want)
	}
	fixed := make([]bool, len(c.m.faults))
	for k, f := range got {
		fixed[f] = true
		gain := 0.0
		for i, ends := range c.m.network.flow(c.m.secs, fixed).ends {
			if fixed[i] {
				gain += ends
			}
		}
		after := math.NaN()
		if c.m.clock.seen {
			after = math.Max(c.m.clock.exchange-gain, math.Min(c.m.clock.exchange, c.m.goal))
		}
		c.near("exchange after", c.a.WorkOn[k].ExchangeAfterS, after)
	}
}

func faultNumber(name string) (i int) {
	if _, err := fmt.Sscanf(name, "f%d", &i); err != nil {
		panic(err)
	}
	return i
}

// toWorkOn is what to correct, first first; sure is false where a difference too
// small to tell decides.
func (m *model) toWorkOn() (order []int, sure bool) {
	sure = true
	steps := func(i int) float64 { return math.Floor(m.flowed.ends[i]/0.005 + 0.5) }
	for i := range m.faults {
		disagrees := m.chance[i] >= 0.8 && m.network.inContext[i] <= 0.2
		if (m.verdict[i] == "fault" || m.verdict[i] == "close") && !m.faults[i].outcome && !disagrees {
			order = append(order, i)
		}
		half := m.flowed.ends[i]/0.005 + 0.5
		sure = sure && math.Abs(half-math.Round(half)) > 1e-6
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case steps(a) != steps(b):
			return int(math.Copysign(1, steps(b)-steps(a)))
		case math.Abs(m.units.ends[a]-m.units.ends[b]) < 1e-9:
			sure = false
			return 0
		}
		return int(math.Copysign(1, m.units.ends[b]-m.units.ends[a]))
	})
	for p, pair := range m.pairs {
		if slices.Contains(order, pair.first) && slices.Contains(order, pair.second) {
			drop := pair.second
			if m.forward(p) < 0.5 {
				drop = pair.first
			}
			order = slices.DeleteFunc(order, func(f int) bool { return f == drop })
		}
	}
	return order[:min(mostCues, len(order))], sure
}

// lookNext holds what is suspected against p(1−p)·Σ|recovers if present − if
// absent|.
func (c *comparison) lookNext() {
	m := c.m
	worth := map[int]float64{}
	for i, p := range m.network.inContext {
		if m.verdict[i] == "not-seen" && p >= 0.5 || m.chance[i] >= 0.8 && p <= 0.2 {
			hard := make([]int, len(m.faults))
			hard[i] = 1
			present := newModelNetwork(m, hard).flow(m.secs, nil).ends
			hard[i] = -1
			for k, absent := range newModelNetwork(m, hard).flow(m.secs, nil).ends {
				worth[i] += p * (1 - p) * math.Abs(present[k]-absent)
			}
		}
	}
	c.same("to look at next", len(c.a.LookNext), len(worth))
	for k, l := range c.a.LookNext {
		i := faultNumber(l.Fault)
		w, is := worth[i]
		if !is {
			c.Fatalf("%s is no suspect", l.Fault)
		}
		c.near("suspected", l.Suspected, m.network.inContext[i])
		if k > 0 && w > worth[faultNumber(c.a.LookNext[k-1].Fault)]+1e-12 {
			c.Fatalf("%s comes after what is worth less", l.Fault)
		}
	}
}

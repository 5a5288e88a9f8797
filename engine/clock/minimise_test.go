package clock

import (
	"math"

	"pgregory.net/rapid"
)

// variance is w: the clock's own, and what no fault explains, which is at least
// ((T−M)/2)² − V − u_T² where the loss is above what the faults would cost.
func variance(loss Loss, parts []Part) float64 {
	m, v := sums(parts)
	scatter := loss.Unexplained * loss.Unexplained
	if loss.T > m {
		scatter = math.Max(scatter, (loss.T-m)*(loss.T-m)/4-v-loss.U*loss.U)
	}
	return loss.U*loss.U + scatter
}

func sums(parts []Part) (m, v float64) {
	for _, p := range parts {
		m += p.Prior
		v += p.UPrior * p.UPrior
	}
	return m, v
}

// cost is what Reconcile minimises: Σ (x_i − m_i)²/v_i + (T − Σx)²/w. All v and
// w must be above 0.
func cost(t, w float64, parts []Part, x []float64) float64 {
	sum, rest := 0.0, t
	for i, p := range parts {
		sum += (x[i] - p.Prior) * (x[i] - p.Prior) / (p.UPrior * p.UPrior)
		rest -= x[i]
	}
	return sum + rest*rest/w
}

// enumerate minimises by trying each set of parts held at 0 and solving the
// normal equations of the others: with S = Σ free v, the sum of the free parts
// is Σm + S(T − Σm)/(S + w). The cheapest solution without a negative part
// is the minimum, for the cost is convex.
func enumerate(t, w float64, parts []Part) []float64 {
	best, least := []float64(nil), math.Inf(1)
	for held := range 1 << len(parts) {
		m, s := 0.0, 0.0
		for i, p := range parts {
			if held>>i&1 == 0 {
				m += p.Prior
				s += p.UPrior * p.UPrior
			}
		}
		x, negative := make([]float64, len(parts)), false
		for i, p := range parts {
			if held>>i&1 == 0 {
				x[i] = p.Prior + p.UPrior*p.UPrior*(t-m)/(s+w)
				negative = negative || x[i] < 0
			}
		}
		if c := cost(t, w, parts, x); !negative && c < least {
			best, least = x, c
		}
	}
	return best
}

// descend minimises by coordinate descent: each part in turn goes to its own
// best value with the others fixed, not below 0, until none moves.
func descend(t, w float64, parts []Part) []float64 {
	x, sum := make([]float64, len(parts)), 0.0
	for range 20000 {
		moved := 0.0
		for i, p := range parts {
			v, rest := p.UPrior*p.UPrior, t-sum+x[i]
			next := math.Max(0, (p.Prior/v+rest/w)/(1/v+1/w))
			moved = math.Max(moved, math.Abs(next-x[i]))
			sum += next - x[i]
			x[i] = next
		}
		if moved < 1e-13 {
			break
		}
	}
	return x
}

// draw makes a loss and up to six parts of sizes as they come.
func draw(t *rapid.T) (Loss, []Part) {
	loss := Loss{T: rapid.Float64Range(-0.5, 1).Draw(t, "T"), U: rapid.Float64Range(0.01, 0.2).Draw(t, "u"), Unexplained: rapid.Float64Range(0, 0.2).Draw(t, "unexplained")}
	parts := make([]Part, rapid.IntRange(0, 6).Draw(t, "parts"))
	for i := range parts {
		parts[i].Prior = rapid.Float64Range(0, 0.3).Draw(t, "prior")
		parts[i].UPrior = rapid.Float64Range(0.005, 0.2).Draw(t, "u")
	}
	return loss, parts
}

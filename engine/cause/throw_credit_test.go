package cause

import (
	"slices"
	"testing"
)

// What a coach would say of a throw (common practice): a fumbled change that
// shows with slow feet and a late landing is the fumble's doing, and a tall
// set-up alone is not blamed for anything else.
func TestThrowAsACoachWouldReadIt(t *testing.T) {
	spec, names := throwNetwork(t)
	n := len(names)
	at := func(name string) int { return slices.Index(names, name) }
	w := mustCompile(t, spec).NewWork()
	ask := func(seen map[string]float64, rest float64) {
		t.Helper()
		ev := &Evidence{Ratio: make([]float64, n)}
		for i, name := range names {
			ev.Ratio[i] = rest
			if ratio, ok := seen[name]; ok {
				ev.Ratio[i] = ratio
			}
		}
		if err := w.Infer(ev); err != nil {
			t.Fatal(err)
		}
	}
	ask(map[string]float64{
		"fumbled-change": 1e6, "slow-change": 1e6, "slow-landing": 1e6, "slow-exchange": 1e6,
	}, 1e-6)
	parts, recovers, carries := make([]float64, n), make([]float64, n), make([]float64, len(w.Edges()))
	for name := range map[string]bool{"fumbled-change": true, "slow-change": true, "slow-landing": true, "slow-exchange": true} {
		parts[at(name)] = 0.05
	}
	w.Credit(parts, recovers, carries)
	for i, name := range names {
		if i != at("fumbled-change") && recovers[i] >= recovers[at("fumbled-change")] {
			t.Errorf("%s recovers %.3f, the fumble only %.3f", name, recovers[i], recovers[at("fumbled-change")])
		}
	}

	// An effect seen raises its unseen causes; explaining it away lowers them.
	ask(nil, 1)
	before := slices.Clone(w.InContext())
	ask(map[string]float64{"long-hand-path": 1e6}, 1)
	seen := slices.Clone(w.InContext())
	ask(map[string]float64{"long-hand-path": 1e6, "low-transfer": 1e6}, 1)
	explained := w.InContext()
	if d := at("drawback"); !(seen[d] > before[d] && explained[d] < seen[d]) {
		t.Errorf("drawback: %.3f before, %.3f with its effect, %.3f explained away", before[d], seen[d], explained[d])
	}
}

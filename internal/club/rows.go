package club

import (
	"rootcue/engine"
	"rootcue/engine/verdict"
	"rootcue/internal/store"
)

// measuresOf are the measures of an assessment as rows to look up.
func measuresOf(a *engine.Assessment) store.Measures {
	m := make(store.Measures, len(a.Measures))
	for _, s := range a.Measures {
		if s.Value.Known() && s.U.Known() {
			m[s.Name] = store.Measured{Value: float64(s.Value), U: float64(s.U), Unit: s.Unit, Reps: s.Reps}
		}
	}
	return m
}

// verdictsOf are the verdicts an assessment can be found by: what was seen.
func verdictsOf(a *engine.Assessment) (list []store.Verdict) {
	for i := range a.Findings {
		switch f := &a.Findings[i]; f.Verdict {
		case verdict.Fault, verdict.Close, verdict.Sound:
			list = append(list, store.Verdict{Fault: f.Fault, Verdict: string(f.Verdict)})
		}
	}
	return list
}

package engine

import (
	"math"
	"slices"
)

// A Difference is what changes between two assessments of one observation.
type Difference struct {
	Player    string          `json:"player" doc:"The club's reference of the player"`
	On        string          `json:"on" doc:"Day of the observation"`
	Findings  []FindingChange `json:"findings" doc:"Faults with another verdict"`
	Chains    []ChainChange   `json:"chains" doc:"Roots that give back another time"`
	OldWorkOn []string        `json:"old_work_on" doc:"What was handed out first"`
	NewWorkOn []string        `json:"new_work_on" doc:"What would be handed out first"`
}

// A FindingChange is a fault with another verdict; "" where one side has no
// such fault.
type FindingChange struct {
	Fault string `json:"fault" doc:"The fault's name"`
	Old   string `json:"old" doc:"Verdict before; empty: no such fault"`
	New   string `json:"new" doc:"Verdict after; empty: no such fault"`
}

// A ChainChange is a root that gives back another time.
type ChainChange struct {
	Root string `json:"root" doc:"The fault it starts from"`
	OldS Number `json:"old_s" doc:"Seconds that came back before"`
	NewS Number `json:"new_s" doc:"Seconds that come back after"`
}

// Changed reports whether a reader would see a difference.
func (d *Difference) Changed() bool {
	return len(d.Findings)+len(d.Chains) > 0 || !slices.Equal(d.OldWorkOn, d.NewWorkOn)
}

// Compare says what changes from a to b: verdicts, chains by 1 ms or more, and
// what to work on.
func Compare(a, b *Outcome) Difference {
	d := Difference{Player: a.Player, On: a.On, Findings: []FindingChange{}, Chains: []ChainChange{},
		OldWorkOn: append([]string{}, a.WorkOn...), NewWorkOn: append([]string{}, b.WorkOn...)}
	eachOf(a.Findings, b.Findings, func(f Found) string { return f.Fault }, func(fault string, x, y Found) {
		if x.Verdict != y.Verdict {
			d.Findings = append(d.Findings, FindingChange{fault, x.Verdict, y.Verdict})
		}
	})
	eachOf(a.Chains, b.Chains, func(g Gain) string { return g.Root }, func(root string, x, y Gain) {
		if math.Abs(float64(x.Recovers-y.Recovers)) >= leastRecovers {
			d.Chains = append(d.Chains, ChainChange{root, x.Recovers, y.Recovers})
		}
	})
	return d
}

// eachOf goes through what two lists name, those of a first; what one list has
// not is zero.
func eachOf[T any](a, b []T, name func(T) string, see func(name string, x, y T)) {
	find := func(list []T, i int, is string) (x T, ok bool) {
		if i < len(list) && name(list[i]) == is { // mostly both have it in one place
			return list[i], true
		}
		if i = slices.IndexFunc(list, func(x T) bool { return name(x) == is }); i < 0 {
			return x, false
		}
		return list[i], true
	}
	for i, x := range a {
		y, _ := find(b, i, name(x))
		see(name(x), x, y)
	}
	for i, y := range b {
		if x, both := find(a, i, name(y)); !both {
			see(name(y), x, y)
		}
	}
}

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
func Compare(a, b *Assessment) Difference {
	d := Difference{Player: a.Player.Ref, On: a.On, Findings: []FindingChange{}, Chains: []ChainChange{}, OldWorkOn: workOnNames(a), NewWorkOn: workOnNames(b)}
	for _, name := range union(verdicts(a), verdicts(b)) {
		if x, y := verdicts(a).of(name), verdicts(b).of(name); x != y {
			d.Findings = append(d.Findings, FindingChange{name, x, y})
		}
	}
	for _, root := range union(chainRoots(a), chainRoots(b)) {
		x, y := recoversOf(a, root), recoversOf(b, root)
		if math.Abs(float64(x-y)) >= leastRecovers {
			d.Chains = append(d.Chains, ChainChange{root, x, y})
		}
	}
	return d
}

func workOnNames(a *Assessment) []string {
	names := make([]string, len(a.WorkOn))
	for i := range a.WorkOn {
		names[i] = a.WorkOn[i].Fault
	}
	return names
}

// pairs are names with a word each, in order.
type pairs [][2]string

func (p pairs) of(name string) string {
	for _, x := range p {
		if x[0] == name {
			return x[1]
		}
	}
	return ""
}

func verdicts(a *Assessment) (list pairs) {
	for i := range a.Findings {
		list = append(list, [2]string{a.Findings[i].Fault, string(a.Findings[i].Verdict)})
	}
	return list
}

func chainRoots(a *Assessment) (list pairs) {
	for i := range a.Chains {
		list = append(list, [2]string{a.Chains[i].Root, ""})
	}
	return list
}

// union lists the names of both, those of a first.
func union(a, b pairs) (names []string) {
	for _, p := range append(append(pairs{}, a...), b...) {
		if !slices.Contains(names, p[0]) {
			names = append(names, p[0])
		}
	}
	return names
}

func recoversOf(a *Assessment, root string) Number {
	for i := range a.Chains {
		if a.Chains[i].Root == root {
			return a.Chains[i].RecoversS
		}
	}
	return 0
}

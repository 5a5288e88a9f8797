package practice

import (
	"cmp"
	"fmt"
	"strings"
)

// Leaving is a station, a player or a player's turn that the plan does without,
// and why. Ref is empty where it concerns a station alone, Drill where it
// concerns a player alone.
type Leaving struct {
	Ref   string  `json:"ref,omitempty"`
	Drill string  `json:"drill,omitempty"`
	GainS float64 `json:"gain_s"` // what one turn would have given, seconds
	Says  string  `json:"says"`
}

// why says what each turn gives a player, and what bounds the throwing.
func why(g group, who Player, counts []int) string {
	var parts []string
	for s, n := range counts {
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%s %s: %s s", g.stations[s].Drill, times(n), short(worth(who, g.stations[s], n))))
		}
	}
	if len(parts) == 0 {
		parts = []string{"no turn"}
	}
	text := strings.Join(parts, ", ")
	switch {
	case g.throws == 0:
	case who.Stopped:
		text += "; throwing is stopped, so no station with throws"
	case who.ThrowsLeft == nil:
		text += "; how many throws are left today is not stated, so look at the ledger before throwing"
	case g.throwingTurns(who) < g.turns:
		text += fmt.Sprintf("; %d throws left today allow %s at stations with throws", *who.ThrowsLeft, turns(g.throwingTurns(who)))
	}
	return text
}

func times(n int) string {
	return map[int]string{1: "once", 2: "twice"}[n]
}

func turns(n int) string {
	switch n {
	case 0:
		return "no turn"
	case 1:
		return "one turn"
	}
	return fmt.Sprintf("%d turns", n)
}

// short writes seconds to the millisecond.
func short(u int64) string { return fmt.Sprintf("%.3f", seconds(u)) }

// leftOver lists the stations that stay shut, the players without a turn and the
// turns that would have helped but were not given.
func leftOver(g group, open []bool, counts [][]int) []Leaving {
	var out []Leaving
	for s, at := range g.stations {
		if !open[s] {
			out = append(out, Leaving{Drill: at.Drill, Says: shut(g.helpers)})
		}
	}
	taken := make([]int, len(g.stations))
	for p := range g.players {
		for s, n := range counts[p] {
			taken[s] += n
		}
	}
	for p, who := range g.players {
		out = append(out, leftOf(g, who, open, counts[p], taken)...)
	}
	return out
}

// leftOf lists what one player goes without.
func leftOf(g group, who Player, open []bool, counts, taken []int) []Leaving {
	var out []Leaving
	used, throwing, known := 0, 0, map[string]bool{}
	for s, n := range counts {
		used += n
		if g.stations[s].Throws > 0 {
			throwing += n
		}
		known[g.stations[s].Drill] = true
	}
	for _, drill := range sortedKeys(who.Gains) {
		if !known[drill] && who.Gains[drill] > 0 {
			out = append(out, Leaving{who.Ref, drill, rounded(who, drill), "no station offers it today"})
		}
	}
	for s, at := range g.stations {
		if counts[s] > 0 || units(who.Gains[at.Drill]) == 0 {
			continue
		}
		says := "every place is taken by players who gain as much or more"
		switch {
		case !open[s]:
			says = "the station has no helper"
		case at.Throws > 0 && who.Stopped:
			says = "throwing is stopped"
		case at.Throws > 0 && throwing == g.throwingTurns(who) && throwing < g.turns:
			says = "no throws left for it today"
		case used == g.turns:
			says = "all turns go to stations that give the group as much or more"
		case taken[s] < g.turns*at.Places:
			says = "the turns left over do not fit it"
		}
		out = append(out, Leaving{who.Ref, at.Drill, rounded(who, at.Drill), says})
	}
	if used == 0 && len(out) == 0 {
		out = append(out, Leaving{Ref: who.Ref, Says: cmp.Or(who.Why, "no station would help: no gain is stated for any of them")})
	}
	return out
}

func rounded(who Player, drill string) float64 { return seconds(units(who.Gains[drill])) }

// shut says why a station that asks for a helper stays shut.
func shut(helpers int) string {
	if helpers == 0 {
		return "needs a helper for the whole practice, and there is none"
	}
	return "needs a helper for the whole practice; the group gains as much or more with the helpers at other stations"
}

package practice

// A Plan is who does what in which turn. Lists are never null; turns, stations
// and players come in order, stations and players by name.
type Plan struct {
	Turns    []Turn    `json:"turns"`
	GainS    float64   `json:"gain_s"`  // seconds, all players together
	BoundS   float64   `json:"bound_s"` // no plan gains more; equal to GainS when the plan is proven best
	Players  []Gain    `json:"players"`
	LeftOver []Leaving `json:"left_over"`
}

// A Turn is one turn, from 1.
type Turn struct {
	Turn     int           `json:"turn"`
	Stations []Appointment `json:"stations"`
}

// An Appointment is who is at a station in a turn.
type Appointment struct {
	Drill   string   `json:"drill"`
	Players []string `json:"players"`
}

// A Gain is what the plan gives a player, and from what.
type Gain struct {
	Ref    string  `json:"ref"`
	GainS  float64 `json:"gain_s"`
	Throws int     `json:"throws"`
	Why    string  `json:"why"`
}

// Make plans a practice that Check finds nothing wrong with.
func Make(p Practice) Plan {
	g := newGroup(p)
	open, bound := choose(g)
	counts, gain := g.assign(open)
	plan := Plan{Turns: []Turn{}, GainS: seconds(gain), BoundS: seconds(bound), Players: []Gain{}, LeftOver: []Leaving{}}
	for t, stations := range layout(g, counts) {
		plan.Turns = append(plan.Turns, turn(g, t+1, stations))
	}
	for i, who := range g.players {
		plan.Players = append(plan.Players, gainOf(g, who, counts[i]))
	}
	plan.LeftOver = append(plan.LeftOver, leftOver(g, open, counts)...)
	return plan
}

func turn(g group, number int, stations [][]int) Turn {
	t := Turn{Turn: number, Stations: []Appointment{}}
	for s, players := range stations {
		if len(players) == 0 {
			continue
		}
		a := Appointment{Drill: g.stations[s].Drill}
		for _, p := range players {
			a.Players = append(a.Players, g.players[p].Ref)
		}
		t.Stations = append(t.Stations, a)
	}
	return t
}

// gainOf adds up a player's turns.
func gainOf(g group, who Player, counts []int) Gain {
	total, throws := int64(0), 0
	for s, n := range counts {
		total += worth(who, g.stations[s], n)
		throws += n * g.stations[s].Throws
	}
	return Gain{Ref: who.Ref, GainS: seconds(total), Throws: throws, Why: why(g, who, counts)}
}

// worth is what n turns at a station give a player, in units: the first in
// full, the second half, a third nothing.
func worth(who Player, at Station, n int) int64 {
	once := units(who.Gains[at.Drill])
	switch n {
	case 0:
		return 0
	case 1:
		return once
	}
	return once + once/2
}

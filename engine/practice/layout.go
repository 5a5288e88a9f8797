package practice

// layout sets the turns of each player and station into time, so that nobody is
// at two stations at once and no station has more players than places:
// at[turn][station] lists players. A station with n places is taken as n single
// ones; then no player and no place has more than R turns, and a bipartite graph
// whose nodes have at most R edges can be coloured with R colours (König 1916).
func layout(g group, counts [][]int) [][][]int {
	c := colouring{turns: g.turns, player: make([][]int, len(g.players))}
	for p := range c.player {
		c.player[p] = empty(g.turns)
	}
	var owner []int // station of a place
	for s, at := range g.stations {
		used := g.turns // full: the first turn opens a place
		places := 0
		for p := range g.players {
			for range counts[p][s] {
				if used == g.turns && places < at.Places {
					c.place, owner = append(c.place, empty(g.turns)), append(owner, s)
					used, places = 0, places+1
				}
				c.add(p, len(c.place)-1)
				used++
			}
		}
	}
	out := make([][][]int, g.turns)
	for t := range out {
		out[t] = make([][]int, len(g.stations))
		for p := range g.players {
			if i := c.player[p][t]; i >= 0 {
				out[t][owner[i]] = append(out[t][owner[i]], p)
			}
		}
	}
	return out
}

// colouring holds, for each player and each place, who or what it has in a turn,
// −1 for nothing.
type colouring struct {
	turns         int
	player, place [][]int
}

func empty(turns int) []int {
	e := make([]int, turns)
	for t := range e {
		e[t] = -1
	}
	return e
}

func free(at []int) int {
	for t, other := range at {
		if other < 0 {
			return t
		}
	}
	return -1
}

// add gives player p a turn at place i. With a turn a free for the player and b
// free for the place, the path from the place along a, b, a, … is swapped; it
// cannot come back to the player, who has no a.
func (c *colouring) add(p, i int) {
	a, b := free(c.player[p]), free(c.place[i])
	if a != b {
		c.swap(i, a, b)
	}
	c.player[p][a], c.place[i][a] = i, p
}

// swap exchanges turns a and b along the path that starts at place i.
func (c *colouring) swap(i, a, b int) {
	type pair struct{ player, place, turn int }
	var path []pair
	for turn := a; ; {
		p := c.place[i][turn]
		if p < 0 {
			break
		}
		path = append(path, pair{p, i, turn})
		if i = c.player[p][a+b-turn]; i < 0 {
			break
		}
		path = append(path, pair{p, i, a + b - turn})
	}
	for _, e := range path {
		c.player[e.player][e.turn], c.place[e.place][e.turn] = -1, -1
	}
	for _, e := range path {
		c.player[e.player][a+b-e.turn], c.place[e.place][a+b-e.turn] = e.place, e.player
	}
}

package practice

import "math"

// Gains are counted in whole units of 0.1 µs, doubled, so that half a gain is
// whole too and sums are exact.
const unit = 2e7

func units(seconds float64) int64 { return 2 * int64(math.Round(seconds*unit/2)) }

// seconds rounds to 0.1 µs, the 7 decimals of a document.
func seconds(u int64) float64 { return math.Round(float64(u)/2) / (unit / 2) }

// A network is the flow of turns: source → player → station → sink, throwing
// turns through a gate of their own. An edge's gain is what one unit of flow
// adds; edges lie in pairs, each the other's way back.
type network struct {
	edges []edge
	from  [][]int // edges leaving a node
	mark  []int64 // longest gain to a node
	came  []int   // edge by which it was reached
	queue []int
	in    []bool
}

type edge struct {
	to   int
	room int
	gain int64
}

func newNetwork(nodes int) *network {
	return &network{from: make([][]int, nodes), mark: make([]int64, nodes), came: make([]int, nodes), in: make([]bool, nodes)}
}

// add makes an edge and returns its number.
func (n *network) add(a, b, room int, gain int64) int {
	e := len(n.edges)
	n.edges = append(n.edges, edge{b, room, gain}, edge{a, 0, -gain})
	n.from[a], n.from[b] = append(n.from[a], e), append(n.from[b], e+1)
	return e
}

// flow is how many units go over an edge.
func (n *network) flow(e int) int { return n.edges[e^1].room }

const unreached = math.MinInt64

// fill sends flow from source to sink, each time along the path that gains most,
// until none gains: the flow of largest gain (successive best paths; the first
// network has no cycle, so no path ever meets a cycle that gains). It returns
// the gain.
func (n *network) fill(source, sink int) int64 {
	total := int64(0)
	for n.longest(source); n.mark[sink] > 0; n.longest(source) {
		room := math.MaxInt
		for v := sink; v != source; v = n.edges[n.came[v]^1].to {
			room = min(room, n.edges[n.came[v]].room)
		}
		for v := sink; v != source; v = n.edges[n.came[v]^1].to {
			n.edges[n.came[v]].room -= room
			n.edges[n.came[v]^1].room += room
		}
		total += int64(room) * n.mark[sink]
	}
	return total
}

// longest finds the best gain to every node (Bellman–Ford with a queue).
func (n *network) longest(source int) {
	for v := range n.mark {
		n.mark[v] = unreached
	}
	n.mark[source] = 0
	n.queue = append(n.queue[:0], source)
	for head := 0; head < len(n.queue); head++ {
		v := n.queue[head]
		n.in[v] = false
		for _, e := range n.from[v] {
			to := n.edges[e].to
			if n.edges[e].room > 0 && n.mark[v]+n.edges[e].gain > n.mark[to] {
				n.mark[to], n.came[to] = n.mark[v]+n.edges[e].gain, e
				if !n.in[to] {
					n.in[to] = true
					n.queue = append(n.queue, to)
				}
			}
		}
	}
}

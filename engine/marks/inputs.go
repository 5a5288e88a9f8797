package marks

import "rootcue/engine/quantity"

// Inputs numbers the base inputs of a document's marks. The same mark has the
// same input in every rep. A click and an event are own inputs, drawn anew in
// each rep; a camera's scale and what belongs to the player are shared. It
// also keeps memory between reps; one goroutine at a time may use it.
type Inputs struct {
	pool    *quantity.Pool
	breadth quantity.Input // the player's shoulder breadth
	ankle   quantity.Input // height of the ankle above the ground
	far     quantity.Input // reading of the shoulder that is hidden from the side
	release quantity.Input // height of release where it is not marked
	air     quantity.Input // drag of the ball
	arrival quantity.Input // height of arrival where it is not stated
	cameras []quantity.Input
	scenes  []scene
	parts   []quantity.Part // a chunk that values are cut from
}

// NewInputs reserves the inputs that do not belong to a camera.
func NewInputs(pool *quantity.Pool) *Inputs {
	return &Inputs{pool: pool, breadth: pool.Shared(), ankle: pool.Shared(), far: pool.Shared(),
		release: pool.Shared(), air: pool.Shared(), arrival: pool.Own()}
}

// A camera's block of inputs: its scale, then x and y of every point, then the
// events.
const (
	pointInputs = 2 * int(MomentCount) * int(JointCount)
	blockInputs = 1 + pointInputs + int(MomentCount)
)

// camera gives the first input of a camera's block. Slots are handed out in
// order up to the one asked for, so that the numbers do not depend on which
// rep comes first.
func (in *Inputs) camera(slot int) quantity.Input {
	for len(in.cameras) <= slot {
		scale := in.pool.Shared()
		for range blockInputs - 1 {
			in.pool.Own()
		}
		in.cameras = append(in.cameras, scale)
	}
	return in.cameras[slot]
}

// slot numbers the n-th camera of a view among all cameras.
func slot(v View, n int) int { return n*int(viewCount) + int(v) }

func pointInput(block quantity.Input, m Moment, j Joint) quantity.Input {
	return block + 1 + quantity.Input(2*(int(m)*int(JointCount)+int(j)))
}

func eventInput(block quantity.Input, m Moment) quantity.Input {
	return block + 1 + quantity.Input(pointInputs+int(m))
}

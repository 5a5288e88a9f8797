package marks

import "rootcue/engine/quantity"

// chunk is how many parts are allocated at once.
const chunk = 512

// begin starts a new value's parts at the end of the chunk. Values are built
// one at a time: begin, add …, then cut.
func (in *Inputs) begin() building {
	if cap(in.parts)-len(in.parts) < mostParts {
		in.parts = make([]quantity.Part, 0, chunk)
	}
	return building{in: in, from: len(in.parts)}
}

// mostParts bounds the inputs of one value: the hand path has four points, a
// scale and the stature; throw_speed two events, the release height and two more.
const mostParts = 32

// A building collects the parts of one value: sensitivity times u, by input.
type building struct {
	in   *Inputs
	from int
}

// add adds to the part of an input, keeping the parts sorted.
func (b *building) add(in quantity.Input, d float64) {
	p := b.in.parts
	i := len(p)
	for i > b.from && p[i-1].Input > in {
		i--
	}
	if i > b.from && p[i-1].Input == in {
		p[i-1].D += d
		return
	}
	p = append(p, quantity.Part{})
	copy(p[i+1:], p[i:])
	p[i] = quantity.Part{Input: in, D: d}
	b.in.parts = p
}

// addAll adds c times the parts of another value.
func (b *building) addAll(v quantity.Value, c float64) {
	for _, p := range v.Parts {
		b.add(p.Input, c*p.D)
	}
}

// point adds what a mark's click contributes: gx and gy are the sensitivities
// to its coordinates.
func (b *building) point(sc *scene, m Moment, j Joint, gx, gy float64) {
	in, u := pointInput(sc.block, m, j), sc.marks[m][j].u
	if gx != 0 {
		b.add(in, gx*u)
	}
	if gy != 0 {
		b.add(in+1, gy*u)
	}
}

// times multiplies all parts so far.
func (b *building) times(c float64) {
	for i := range b.in.parts[b.from:] {
		b.in.parts[b.from+i].D *= c
	}
}

// share makes px pixels a share of stature, with the parts of the scale and
// the stature: value = k·px/H.
func (b *building) share(sc *scene, px float64, stature quantity.Value) float64 {
	x := b.metres(sc, px) / stature.X
	b.times(1 / stature.X)
	b.addAll(stature, -x/stature.X)
	return x
}

// metres makes px pixels a length in metres, with the part of the scale.
func (b *building) metres(sc *scene, px float64) float64 {
	b.times(sc.perPx)
	x := sc.perPx * px
	if sc.relU != 0 {
		b.add(sc.block, x*sc.relU)
	}
	return x
}

// cut ends the value.
func (b *building) cut(x float64) quantity.Value {
	end := len(b.in.parts)
	return quantity.Value{X: x, Parts: b.in.parts[b.from:end:end]}
}

// drop gives the memory of an unfinished value back.
func (b *building) drop() { b.in.parts = b.in.parts[:b.from] }

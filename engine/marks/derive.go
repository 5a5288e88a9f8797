package marks

import (
	"slices"

	"rootcue/engine/place"
	"rootcue/engine/quantity"
)

// Derive reads every measure that a rep's marks show, in a fixed order, each
// with its parts of uncertainty and where it came from. pointer is the JSON
// Pointer of the rep's marks. With any problem there are no values.
func Derive(cams []Camera, set Setting, in *Inputs, pointer string) ([]Derived, []Note, []place.Problem) {
	d := deriver{in: in, set: &set}
	d.look(cams, pointer)
	if found := d.slips(); len(found) > 0 {
		return nil, nil, found
	}
	d.out = make([]Derived, 0, len(rows))
	for i := range rows {
		d.derive(&rows[i])
	}
	d.noteAssumed()
	d.noteUnseen()
	return d.out, d.notes, nil
}

// A deriver works through the marks of one rep.
type deriver struct {
	in      *Inputs
	set     *Setting
	scenes  []scene
	byClock []int // scenes, the finest clock first
	out     []Derived
	notes   []Note
}

// look prepares every camera.
func (d *deriver) look(cams []Camera, pointer string) {
	if cap(d.in.scenes) < len(cams) {
		d.in.scenes = make([]scene, len(cams))
	}
	d.scenes = d.in.scenes[:len(cams)]
	var met [viewCount]int
	for i := range cams {
		v := cams[i].View
		sc := &d.scenes[i]
		sc.read(&cams[i], pointer+cams[i].At, d.in.camera(slot(v, met[v])))
		sc.readJoints(d.set.Throws)
		met[v]++
		d.byClock = append(d.byClock, i)
	}
	slices.SortStableFunc(d.byClock, func(a, b int) int {
		switch ta, tb := d.scenes[a].tick, d.scenes[b].tick; {
		case ta < tb:
			return -1
		case ta > tb:
			return 1
		}
		return 0
	})
}

// derive adds a row's measure from the first camera that shows it.
func (d *deriver) derive(r *row) {
	if r.time {
		for _, i := range d.byClock {
			if d.take(r, &d.scenes[i]) {
				return
			}
		}
		return
	}
	for i := range d.scenes {
		if sc := &d.scenes[i]; r.views[sc.cam.View] && d.take(r, sc) {
			return
		}
	}
}

func (d *deriver) take(r *row, sc *scene) bool {
	v, from, ok := r.read(d, sc)
	if ok {
		d.out = append(d.out, Derived{Measure: r.measure, Value: v, Unit: r.unit, From: from[sc.cam.View]})
	}
	return ok
}

// has reports what lengths as shares of stature need beside the points.
func (d *deriver) has(sc *scene) bool { return sc.perPx > 0 && d.set.Stature.X > 0 }

// find gives a measure that was derived before.
func (d *deriver) find(measure string) (quantity.Value, bool) {
	for i := range d.out {
		if d.out[i].Measure == measure {
			return d.out[i].Value, true
		}
	}
	return quantity.Value{}, false
}

func (d *deriver) note(code, says string) {
	n := Note{code, says}
	if !slices.Contains(d.notes, n) {
		d.notes = append(d.notes, n)
	}
}

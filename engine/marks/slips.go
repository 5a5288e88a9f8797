package marks

import "rootcue/engine/place"

// slips finds what cannot be right in the marks, camera by camera.
func (d *deriver) slips() []place.Problem {
	var f findings
	for i := range d.scenes {
		sc := &d.scenes[i]
		f.at = sc.at
		f.clock(sc)
		f.order(sc)
		f.outside(sc)
		f.joints(sc, d.set.Throws)
		f.scale(sc)
		f.target(sc)
		f.swapped(sc, d.set.Throws)
		f.intervals(sc, d.set)
	}
	return f.problems
}

// findings collects slips; at is the JSON Pointer of the camera at hand.
type findings struct {
	at       string
	problems []place.Problem
}

func (f *findings) add(code, below, found, wanted, hint string) {
	f.problems = append(f.problems, place.Problem{Code: code, Pointer: f.at + below, Found: found, Wanted: wanted, Hint: hint})
}

// surely is how many combined standard uncertainties a mark must lie on the
// wrong side before it is called a slip.
const surely = 3

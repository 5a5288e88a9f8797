package marks

import "rootcue/engine/place"

// slips finds what cannot be right in the marks, camera by camera.
func (d *deriver) slips() []place.Problem {
	var f findings
	for i := range d.scenes {
		sc := &d.scenes[i]
		f.at = sc.at
		f.joints(sc, d.set.Throws)
		f.firstOf(
			func() { f.clock(sc) },
			func() { f.order(sc) },
			func() { f.intervals(sc, d.set) })
		f.firstOf(
			func() { f.outside(sc) },
			func() { f.zeroScale(sc) },
			func() { f.swapped(sc, d.set.Throws); f.target(sc) },
			func() { f.scale(sc) })
	}
	return f.problems
}

// firstOf makes checks that follow from each other, up to the first that
// finds something: what comes after it would only tell its consequences.
func (f *findings) firstOf(checks ...func()) {
	before := len(f.problems)
	for _, check := range checks {
		if check(); len(f.problems) > before {
			return
		}
	}
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

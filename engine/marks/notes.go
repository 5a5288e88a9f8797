package marks

import (
	"fmt"
	"strings"
)

// noteAssumed says what stood in for what was not stated.
func (d *deriver) noteAssumed() {
	for i := range d.scenes {
		sc := &d.scenes[i]
		if sc.placed && !sc.cam.HasUPx {
			d.note("u-px-assumed", fmt.Sprintf("No u_px was stated with the marks; %g px for each coordinate was assumed.", assumedUPx))
		}
		if sc.timed() && !sc.cam.HasFPS {
			d.note("frame-rate-assumed", fmt.Sprintf("Times were given without fps; their uncertainty was taken from %g frames a second.", assumedFPS))
		}
	}
}

// timed reports whether any event has a time.
func (sc *scene) timed() bool {
	for _, e := range sc.events {
		if e.seen {
			return true
		}
	}
	return false
}

// noteUnseen says why measures are missing that more marks would give.
func (d *deriver) noteUnseen() {
	var met [viewCount]bool
	placed := false
	for i := range d.scenes {
		sc := &d.scenes[i]
		if !sc.placed {
			continue
		}
		placed, met[sc.cam.View] = true, true
		if sc.cam.Scale == nil {
			d.note("no-scale", fmt.Sprintf("The camera %s has no scale: lengths were not derived from it.", sc.cam.View.where()))
		}
		if sc.cam.View == Beside && sc.ahead == 0 {
			d.note("no-direction", "The camera at the side does not say toward which side of the picture the target lies: distances along the throw were not derived from it.")
		}
	}
	if !placed {
		return
	}
	if d.set.Stature.X == 0 {
		d.note("no-stature", "No stature is known: lengths as shares of it were not derived from marks.")
	}
	if !met[Beside] {
		d.noteView("at the side", fromSide)
	}
	if !met[Behind] && !met[Ahead] {
		d.noteView("behind the catcher or ahead", alongThrow)
	}
}

func (v View) where() string {
	return [...]string{Beside: "at the side", Behind: "behind", Ahead: "ahead"}[v]
}

// noteView names the measures that only views not at hand show.
func (d *deriver) noteView(where string, views [viewCount]bool) {
	d.note("needs-other-view", "Only a camera "+where+" shows "+strings.Join(shownBy(views), ", ")+": not seen here.")
}

func shownBy(views [viewCount]bool) []string {
	var names []string
	for i := range rows {
		if !rows[i].time && rows[i].views == views {
			names = append(names, rows[i].measure)
		}
	}
	return names
}

package marks

import "sort"

// readTrack places the joints of every event whose frame is known, and the
// ball where it was tracked.
func (sc *scene) readTrack(throws string) {
	if len(sc.cam.Track) == 0 {
		return
	}
	for m := range MomentCount {
		if f := sc.cam.Frames[m]; f.Seen {
			sc.placeFrame(m, f.N, throws)
		}
	}
	sc.findBall(throws)
}

// placeFrame places the mean of the three frames around an event. The errors
// of a pose track go along from frame to frame, so the mean keeps the
// uncertainty of one frame.
func (sc *scene) placeFrame(m Moment, frame int, throws string) {
	p, ball := sc.around(frame)
	sc.placePerson(m, &p, throws)
	sc.placePoint(m, Ball, ball)
}

// around is the mean over a frame and its two neighbours, of those that show
// a point; the least visibility among them counts.
func (sc *scene) around(frame int) (Person, Keypoint) {
	var p, sum [personPoints + 1]Keypoint
	var n [personPoints + 1]float64
	track := sc.cam.Track
	for i := trackIndex(track, frame-1); i < len(track) && track[i].Frame <= frame+1; i++ {
		for k := range sum {
			sum[k].take(&n[k], track[i].point(k))
		}
	}
	for k := range sum {
		if n[k] > 0 {
			p[k] = Keypoint{sum[k].X / n[k], sum[k].Y / n[k], sum[k].V}
		}
	}
	return Person(p[:personPoints]), p[personPoints]
}

func (t *TrackFrame) point(k int) Keypoint {
	if k == personPoints {
		return t.Ball
	}
	return t.Person[k]
}

func (k *Keypoint) take(n *float64, seen Keypoint) {
	if seen.V == 0 {
		return
	}
	if *n == 0 || seen.V < k.V {
		k.V = seen.V
	}
	k.X, k.Y = k.X+seen.X, k.Y+seen.Y
	*n++
}

// trackIndex is the index of the first frame at or after a number.
func trackIndex(track []TrackFrame, frame int) int {
	return sort.Search(len(track), func(i int) bool { return track[i].Frame >= frame })
}

// findBall finds the moments that the ball's own way defines, where they were
// not given: its lowest point between the change of hands and the ear, and its
// farthest from the target between the change and the front foot's landing.
func (sc *scene) findBall(throws string) {
	f := &sc.cam.Frames
	if !f[BallLow].Seen && f[Transfer].Seen && f[Ear].Seen {
		sc.placeFarthest(BallLow, f[Transfer].N, f[Ear].N, throws, func(k Keypoint) float64 { return k.Y })
	}
	if !f[BallBack].Seen && f[Transfer].Seen && f[FrontFootPlant].Seen && sc.cam.View == Beside && sc.ahead != 0 {
		sc.placeFarthest(BallBack, f[Transfer].N, f[FrontFootPlant].N, throws, func(k Keypoint) float64 { return -sc.ahead * k.X })
	}
}

// placeFarthest places the frame, from one to another, in which the smoothed
// ball goes farthest.
func (sc *scene) placeFarthest(m Moment, from, to int, throws string, far func(Keypoint) float64) {
	best, found := 0, false
	most := 0.0
	track := sc.cam.Track
	for i := trackIndex(track, from); i < len(track) && track[i].Frame <= to; i++ {
		_, ball := sc.around(track[i].Frame)
		if ball.V != 0 && (!found || far(ball) > most) {
			best, most, found = track[i].Frame, far(ball), true
		}
	}
	if found {
		sc.placeFrame(m, best, throws)
	}
}

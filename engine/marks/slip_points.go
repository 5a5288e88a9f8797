package marks

import (
	"fmt"
	"strconv"
)

// outside checks that every point lies in the picture, where its size is given.
func (f *findings) outside(sc *scene) {
	c := sc.cam
	if c.Picture[0] == 0 {
		return
	}
	if c.Scale != nil {
		f.inPicture(c, "/scale/from", "the scale's end", c.Scale.From[0], c.Scale.From[1])
		f.inPicture(c, "/scale/to", "the scale's end", c.Scale.To[0], c.Scale.To[1])
	}
	for m := range MomentCount {
		if p := c.Points[m]; p != nil {
			for j := range JointCount {
				if p[j].Seen && !c.holds(p[j].X, p[j].Y) {
					f.inPicture(c, "/points/"+m.String()+"/"+j.String(), j.String(), p[j].X, p[j].Y)
				}
			}
		}
		if p := c.Keypoints[m]; p != nil && !c.holdsPerson(p) {
			f.personInPicture(c, "/keypoints/"+m.String(), p)
		}
	}
	for i := range c.Track {
		t := &c.Track[i]
		if !c.holdsPerson(&t.Person) {
			f.personInPicture(c, "/track/"+strconv.Itoa(t.Frame), &t.Person)
		}
		if ball := t.Ball; ball.V != 0 && !c.holds(ball.X, ball.Y) {
			f.inPicture(c, "/track/"+strconv.Itoa(t.Frame)+"/"+strconv.Itoa(3*personPoints), "ball", ball.X, ball.Y)
		}
	}
}

// holds reports whether the picture holds a point.
func (c *Camera) holds(x, y float64) bool {
	return x >= 0 && y >= 0 && x <= c.Picture[0] && y <= c.Picture[1]
}

func (c *Camera) holdsPerson(p *Person) bool {
	for _, k := range p {
		if k.V != 0 && !c.holds(k.X, k.Y) {
			return false
		}
	}
	return true
}

func (f *findings) personInPicture(c *Camera, below string, p *Person) {
	for k, point := range p {
		if point.V != 0 {
			f.inPicture(c, below+"/"+strconv.Itoa(3*k), "point "+strconv.Itoa(k), point.X, point.Y)
		}
	}
}

// inPicture guesses at the usual reasons: x and y exchanged, or coordinates
// taken in a picture of another size.
func (f *findings) inPicture(c *Camera, below, what string, x, y float64) {
	if c.holds(x, y) {
		return
	}
	w, h := c.Picture[0], c.Picture[1]
	hint := "probably a digit too many, or the point was read in a picture of another size"
	switch {
	case x < 0 || y < 0:
		hint = "probably a sign too many: x and y count from the upper left corner"
	case y <= w && x <= h:
		hint = "probably x and y are exchanged"
	}
	f.add("outside-picture", below, fmt.Sprintf("%s at [%s, %s]", what, number(x), number(y)), fmt.Sprintf("a point within %s by %s px", number(w), number(h)), hint)
}

// joints checks that keypoints and track can be read: left and right of the
// body are throwing and glove side only once the hand is known, and a track
// tells nothing without the frames of the events.
func (f *findings) joints(sc *scene, throws string) {
	c := sc.cam
	if below, ok := c.firstPerson(); ok && throws == "" {
		f.add("no-handedness", below, "the points of a person in COCO order, and no throwing hand", `player.throws, "left" or "right"`, "state the player's throws, or mark the joints as points")
	}
	if len(c.Track) == 0 {
		return
	}
	for m := range MomentCount {
		if c.Keypoints[m] == nil && !c.Frames[m].Seen && needsBody(m, c.Points[m]) {
			f.add("no-frame", "/points/"+m.String(), "points at "+m.String()+" beside a track, and no frame for "+m.String(), "frames."+m.String(), "the joints are read from the track at the event's frame: state it")
		}
	}
	first, last := c.Track[0].Frame, c.Track[len(c.Track)-1].Frame
	if !c.anyFrameIn(first-1, last+1) {
		f.add("track-elsewhere", "/track", fmt.Sprintf("a track of frames %d to %d and no event in them", first, last), "frames of events within the track", "probably the events and the track are counted from different frames, or frames is missing")
	}
}

// needsBody reports whether points at a moment tell nothing without joints
// that were left to the track.
func needsBody(m Moment, p *Points) bool {
	if p == nil {
		return false
	}
	return p[Ground].Seen && !p[Hip].Seen && !p[Ball].Seen || m == Transfer && p[Ball].Seen && !p[ShoulderThrow].Seen
}

func (c *Camera) firstPerson() (string, bool) {
	for m := range MomentCount {
		if c.Keypoints[m] != nil {
			return "/keypoints/" + m.String(), true
		}
	}
	return "/track", len(c.Track) > 0
}

func (c *Camera) anyFrameIn(first, last int) bool {
	for _, f := range c.Frames {
		if f.Seen && f.N >= first && f.N <= last {
			return true
		}
	}
	return false
}

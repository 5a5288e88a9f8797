package marks

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"rootcue/engine/strictjson"
)

// personPoints is the number of points of a person in COCO order.
const personPoints = 17

func (c *Camera) readPoints(r *strictjson.Reader) {
	eachMoment(r, func(m Moment) {
		var points Points
		r.Object(func(key string) {
			j := jointNamed(key)
			switch {
			case j < 0:
				r.Unknown(key, Joints)
			case !r.Null():
				xy, ok := readPair(r, "a point's x and y in pixels")
				points[j] = Point{xy[0], xy[1], ok}
			}
		})
		c.Points[m] = &points
	})
}

// readPair reads a list of two numbers that fit a picture.
func readPair(r *strictjson.Reader, wanted string) (xy [2]float64, ok bool) {
	var got [2]float64
	n, whole := readNumbers(r, wanted, got[:])
	if whole && n != 2 {
		r.Problem("wrong-length", fmt.Sprintf("a list of %d", n), wanted, "")
	}
	if !whole || n != 2 {
		return xy, false
	}
	return got, true
}

// readNumbers reads a list of numbers into to and returns how many there
// were, also when there were more; ok is false after a slip in one of them.
func readNumbers(r *strictjson.Reader, wanted string, to []float64) (n int, ok bool) {
	if !r.IsArray() {
		r.Array(nil) // reports the wrong type
		return 0, false
	}
	ok = true
	r.Array(func(i int) {
		v, fine := readWithin(r, wanted, -mostPixels, mostPixels)
		if i < len(to) {
			to[i] = v
		}
		n, ok = i+1, ok && fine
	})
	return n, ok && !r.Broken()
}

func (c *Camera) readKeypoints(r *strictjson.Reader) {
	eachMoment(r, func(m Moment) {
		if t, ok := readPerson(r, false); ok {
			c.Keypoints[m] = &t.Person
		}
	})
}

// readTrack reads the persons by frame. Where the ball was tracked too, its
// x, y, v follow the 51 numbers.
func (c *Camera) readTrack(r *strictjson.Reader) {
	r.Object(func(key string) {
		frame, err := strconv.Atoi(key)
		if err != nil || frame < 0 || frame > 1e9 || strconv.Itoa(frame) != key {
			r.Problem("bad-frame", strconv.QuoteToGraphic(clip(key)), "a frame's number, such as \"118\"", "")
			r.Skip()
			return
		}
		if r.Null() {
			return
		}
		if t, ok := readPerson(r, true); ok {
			t.Frame = frame
			c.Track = append(c.Track, t)
		}
	})
	slices.SortFunc(c.Track, func(a, b TrackFrame) int { return a.Frame - b.Frame })
}

// readPerson reads 17 × (x, y, v), and where a ball may follow one more.
func readPerson(r *strictjson.Reader, mayHaveBall bool) (t TrackFrame, ok bool) {
	const numbers = 3 * personPoints
	var got [numbers + 3]float64
	wanted := "51 numbers: x, y, v of the 17 points of a person in COCO order"
	n, ok := readNumbers(r, wanted, got[:])
	if !ok {
		return t, false
	}
	if n != numbers && !(mayHaveBall && n == numbers+3) {
		hint := ""
		if mayHaveBall {
			hint = "54 when the ball's x, y, v follow"
		}
		r.Problem("wrong-length", fmt.Sprintf("%d numbers", n), wanted, hint)
		return t, false
	}
	for i := 0; i < n; i += 3 {
		v := got[i+2]
		if v != 0 && v != 1 && v != 2 {
			r.Problem("bad-visibility", fmt.Sprintf("v = %g of point %d", v, i/3), "0 (not seen), 1 (hidden, placed) or 2 (seen)", "a detector's confidence is no visibility: choose a limit and write 0, 1 or 2")
			return t, false
		}
		k := Keypoint{got[i], got[i+1], int(v)}
		if i/3 < personPoints {
			t.Person[i/3] = k
		} else {
			t.Ball = k
		}
	}
	return t, true
}

func clip(s string) string {
	if len(s) > 40 {
		return strings.ToValidUTF8(s[:40], "") + "…"
	}
	return s
}

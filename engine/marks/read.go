package marks

import (
	"fmt"
	"slices"
	"strconv"

	"rootcue/engine/place"
	"rootcue/engine/strictjson"
)

// mostCameras bounds the cameras of one rep.
const mostCameras = 6

// mostPixels bounds coordinates and picture sizes, px, so that a slip of many
// digits is told and lengths stay finite.
const mostPixels = 1e6

var cameraKeys = []string{"view", "fps", "toward", "picture", "scale", "u_px", "frames", "times", "points", "keypoints", "track"}

// Read reads the value of "marks", one camera's object or a list of them, and
// reports slips of form to r.
func Read(r *strictjson.Reader) []Camera {
	if !r.IsArray() {
		return []Camera{readCamera(r, "")}
	}
	var cams []Camera
	r.Array(func(i int) {
		if i == mostCameras {
			r.Skip()
			r.Problem("too-many", "more than "+strconv.Itoa(mostCameras)+" cameras", "at most "+strconv.Itoa(mostCameras), "")
			return
		}
		if i > mostCameras {
			r.Skip()
			return
		}
		cams = append(cams, readCamera(r, "/"+strconv.Itoa(i)))
	})
	return cams
}

func readCamera(r *strictjson.Reader, at string) Camera {
	c := Camera{At: at}
	r.Object(func(key string) {
		if !slices.Contains(cameraKeys, key) {
			r.Unknown(key, cameraKeys)
			return
		}
		if !r.Null() {
			c.readKey(r, key)
		}
	})
	return c
}

func (c *Camera) readKey(r *strictjson.Reader, key string) {
	switch key {
	case "view":
		c.View = View(readWord(r, Views))
	case "fps":
		c.FPS, c.HasFPS = r.Float("the camera's frames a second")
	case "toward":
		c.Toward = Side(1 + readWord(r, []string{"left", "right"}))
	case "picture":
		c.readPicture(r)
	case "scale":
		c.Scale = readScale(r)
	case "u_px":
		c.UPx, c.HasUPx = readWithin(r, "the standard uncertainty of a coordinate in pixels", 0, 1000)
	case "frames":
		c.readFrames(r)
	case "times":
		c.readTimes(r)
	case "points":
		c.readPoints(r)
	case "keypoints":
		c.readKeypoints(r)
	case "track":
		c.readTrack(r)
	}
}

func (c *Camera) readPicture(r *strictjson.Reader) {
	const wanted = "the picture's width and height in pixels"
	if xy, ok := readPair(r, wanted); ok {
		if xy[0] <= 0 || xy[1] <= 0 {
			r.Problem("out-of-range", fmt.Sprintf("%g by %g", xy[0], xy[1]), wanted+", both above 0", "")
			return
		}
		c.Picture = xy
	}
}

func (c *Camera) readFrames(r *strictjson.Reader) {
	eachMoment(r, func(m Moment) {
		const wanted = "a frame's whole number"
		n, ok := r.Int(wanted)
		if ok && n < 0 {
			r.Problem("out-of-range", strconv.Itoa(n), wanted+", 0 or more", "")
		}
		c.Frames[m] = Frame{n, ok}
	})
}

func (c *Camera) readTimes(r *strictjson.Reader) {
	eachMoment(r, func(m Moment) {
		s, ok := readWithin(r, "a time on the clip's clock in seconds", -1e6, 1e6)
		c.Times[m] = Time{s, ok}
	})
}

// eachMoment reads an object whose keys are moments; a null is not seen.
func eachMoment(r *strictjson.Reader, read func(Moment)) {
	r.Object(func(key string) {
		m := momentNamed(key)
		switch {
		case m < 0:
			r.Unknown(key, Moments)
		case !r.Null():
			read(m)
		}
	})
}

// readWord reads one of the words and returns its index, 0 after a slip.
func readWord(r *strictjson.Reader, words []string) int {
	s, ok := r.Text(place.List(words))
	if !ok {
		return 0
	}
	if i := slices.Index(words, s); i >= 0 {
		return i
	}
	hint := ""
	if near := place.Nearest(s, words); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	r.Problem("unknown-word", strconv.Quote(s), place.List(words), hint)
	return 0
}

func readWithin(r *strictjson.Reader, wanted string, lo, hi float64) (float64, bool) {
	v, ok := r.Float(wanted)
	if ok && (v < lo || v > hi) {
		r.Problem("out-of-range", strconv.FormatFloat(v, 'g', -1, 64), fmt.Sprintf("%s, %g to %g", wanted, lo, hi), "")
		return 0, false
	}
	return v, ok
}

// Package marks turns what was read off a video, points and frame numbers,
// into measures with their uncertainty.
package marks

// A Camera holds the marks of one rep from one camera. Image coordinates are
// pixels, x to the right, y down. Points, Keypoints and Track are nil where
// nothing was marked.
type Camera struct {
	At        string // JSON Pointer below "marks": "" for a lone camera, "/1" in a list
	View      View
	FPS       float64 // frames a second; read only with HasFPS
	HasFPS    bool
	Toward    Side       // the side of the picture on which the target lies
	Picture   [2]float64 // width and height, px; 0 = not stated
	Scale     *Scale
	UPx       float64 // standard uncertainty of a coordinate, px; read only with HasUPx
	HasUPx    bool
	Frames    [MomentCount]Frame
	Times     [MomentCount]Time
	Points    [MomentCount]*Points
	Keypoints [MomentCount]*Person
	Track     []TrackFrame // ascending by frame, each frame once
}

// A Scale is a stretch of known length in the picture.
type Scale struct {
	From, To [2]float64 // px
	Length   float64    // m
	U        float64    // standard uncertainty of Length, m
}

// A Frame is a frame's number; N is read only with Seen.
type Frame struct {
	N    int
	Seen bool
}

// A Time is a moment on the clip's clock, s; S is read only with Seen.
type Time struct {
	S    float64
	Seen bool
}

// Points are the points clicked at one moment.
type Points [JointCount]Point

// A Point is a clicked point, px; X and Y are read only with Seen.
type Point struct {
	X, Y float64
	Seen bool
}

// A TrackFrame is the person in one frame, and the ball where it was tracked.
type TrackFrame struct {
	Frame  int
	Person Person
	Ball   Keypoint
}

// A Person is the 17 keypoints of a person in COCO order.
type Person [personPoints]Keypoint

// A Keypoint is one joint, px. V is COCO's visibility: 0 not seen, 1 hidden
// but placed, 2 seen.
type Keypoint struct {
	X, Y float64
	V    int
}

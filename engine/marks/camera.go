// Package marks turns what was read off a video, points and frame numbers,
// into measures with their uncertainty.
package marks

// A Camera holds the marks of one rep from one camera. Image coordinates are
// pixels, x to the right, y down.
type Camera struct {
	View      View
	FPS       float64    // frames a second, 0 = not stated
	Toward    string     // "left" or "right": the side of the picture on which the target lies; "" = not stated
	Picture   [2]float64 // width and height, px; 0 = not stated
	Scale     *Scale
	UPx       float64 // standard uncertainty of a coordinate, px
	HasUPx    bool
	Frames    map[Moment]int
	Times     map[Moment]float64 // s
	Points    map[Moment]map[Joint][2]float64
	Keypoints map[Moment][]float64 // 17 × (x, y, v), COCO person order
	Track     map[int][]float64    // the same by frame
}

// A Scale is a stretch of known length in the picture.
type Scale struct {
	From, To [2]float64 // px
	Length   float64    // m
	U        float64    // m
}

// A View is where the camera stands.
type View string

// The views: beside the catcher, behind looking to the target, ahead looking back.
const (
	Side   View = "side"
	Behind View = "behind"
	Ahead  View = "ahead"
)

// A Moment is an event of a throw.
type Moment string

// A Joint is a point that can be marked.
type Joint string

// Moments and Joints list the accepted names.
var (
	Moments = []string{"set", "catch", "transfer", "ball_low", "ball_back", "ear", "back_foot_plant", "front_foot_plant", "release", "arrival"}
	Joints  = []string{"ball", "mitt", "ear", "shoulder_throw", "shoulder_glove", "elbow_throw", "wrist_throw", "hip",
		"knee_back", "knee_front", "ankle_back", "ankle_front", "toe_back", "toe_front", "ground"}
)

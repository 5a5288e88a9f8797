package marks

import "slices"

// A View is where the camera stands.
type View int

// The views: beside the catcher, behind looking to the target, ahead looking back.
const (
	Beside View = iota
	Behind
	Ahead
	viewCount
)

// Views are the names of the views in documents.
var Views = []string{"side", "behind", "ahead"}

func (v View) String() string { return Views[v] }

// A Side is a side of the picture.
type Side int

// The sides; NoSide where none was stated.
const (
	NoSide Side = iota
	Left
	Right
)

func (s Side) String() string { return [...]string{"", "left", "right"}[s] }

// A Moment is an event of a throw.
type Moment int

// The moments.
const (
	Set Moment = iota
	Catch
	Transfer
	BallLow
	BallBack
	Ear
	BackFootPlant
	FrontFootPlant
	Release
	Arrival
	MomentCount
)

// Moments are the names of the moments in documents.
var Moments = []string{"set", "catch", "transfer", "ball_low", "ball_back", "ear", "back_foot_plant", "front_foot_plant", "release", "arrival"}

func (m Moment) String() string { return Moments[m] }

// A Joint is a point that can be marked. Throw and Glove are the sides of the
// body; the back foot is the throwing-side foot, the front one the glove-side.
type Joint int

// The joints.
const (
	Ball Joint = iota
	Mitt
	EarPoint
	ShoulderThrow
	ShoulderGlove
	ElbowThrow
	WristThrow
	Hip
	KneeBack
	KneeFront
	AnkleBack
	AnkleFront
	ToeBack
	ToeFront
	Ground
	JointCount
)

// Joints are the names of the joints in documents.
var Joints = []string{"ball", "mitt", "ear", "shoulder_throw", "shoulder_glove", "elbow_throw", "wrist_throw", "hip",
	"knee_back", "knee_front", "ankle_back", "ankle_front", "toe_back", "toe_front", "ground"}

func (j Joint) String() string { return Joints[j] }

// momentNamed finds a moment by its name, -1 if there is none.
func momentNamed(name string) Moment { return Moment(slices.Index(Moments, name)) }

// jointNamed finds a joint by its name, -1 if there is none.
func jointNamed(name string) Joint { return Joint(slices.Index(Joints, name)) }

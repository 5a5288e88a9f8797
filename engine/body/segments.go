// Package body holds published sizes of the human body: stature by age, and
// segment lengths as shares of stature.
package body

// Heights above the ground and lengths of segments as shares of stature:
// Drillis & Contini 1966, as drawn in Winter, Biomechanics and Motor Control of
// Human Movement, fig. 4.1. Adult figures; children differ somewhat.
const (
	EyeHeight        = 0.936
	ChinHeight       = 0.870
	ShoulderHeight   = 0.818
	ElbowHeight      = 0.630
	HipHeight        = 0.530
	KneeHeight       = 0.285
	AnkleHeight      = 0.039
	ShoulderBreadth  = 0.259
	UpperArm         = 0.186
	Forearm          = 0.146
	Hand             = 0.108
	EarHeight        = 0.925 // tragion, ANSUR II, men
	ShoulderBreadthU = 0.1   // relative standard uncertainty taken for the breadth
)

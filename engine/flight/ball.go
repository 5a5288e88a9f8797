// Package flight follows a thrown ball to its target and the runner to the
// base: how long a throw of a given speed takes, what speed a flight time
// means, whether a throw carries at all, and the chance of an out. SI units
// inside; angles in degrees where a name says Deg.
package flight

import "math"

// Gravity is the standard acceleration of free fall, m/s² (ISO 80000-3).
const Gravity = 9.80665

// A Ball is a ball with the air it flies through. Its uncertainties are
// standard uncertainties (one standard deviation); 0 is exact.
type Ball struct {
	MassKg         float64 // mass, kg
	CircumferenceM float64 // circumference, m
	CD             float64 // drag coefficient, on the cross-section
	UCD            float64 // standard uncertainty of CD
	Rho            float64 // density of the air, kg/m³
	URho           float64 // standard uncertainty of Rho, kg/m³
	Lift           float64 // lift coefficient; positive is upward (backspin)
}

// The default ball and where each of its values comes from.
const (
	defaultMassKg         = 0.145
	defaultCircumferenceM = 9.125 * 0.0254
	defaultCD             = 0.35
	defaultUCD            = 0.05
	defaultRho            = 1.2
	defaultURho           = 0.04

	sourceMass          = "middle of the 5 to 5 1/4 oz of Official Baseball Rules 3.01, rounded"
	sourceCircumference = "middle of the 9 to 9 1/4 in of Official Baseball Rules 3.01"
	sourceCD            = "starting value; published values differ at youth speeds"
	sourceRho           = "starting value: dry air near sea level at 20 degrees C, give or take 10"
	sourceLift          = "starting value: no lift"
)

// Default is a regulation baseball in mild air near sea level: the middle of
// the mass and circumference of Official Baseball Rules 3.01, a drag
// coefficient of 0.35 ± 0.05 (starting value; published values differ at
// youth speeds), air of 1.2 ± 0.04 kg/m³ (20 °C, give or take 10) and no lift.
func Default() Ball {
	return Ball{
		MassKg: defaultMassKg, CircumferenceM: defaultCircumferenceM,
		CD: defaultCD, UCD: defaultUCD, Rho: defaultRho, URho: defaultURho,
	}
}

// exact is the ball with its uncertainties taken as 0.
func (b Ball) exact() Ball {
	b.UCD, b.URho = 0, 0
	return b
}

// area is the cross-section of the ball, m².
func (b Ball) area() float64 {
	return b.CircumferenceM * b.CircumferenceM / (4 * math.Pi)
}

// drag is k in the deceleration k·v², 1/m: ½ρC_D A/m.
func (b Ball) drag() float64 {
	return b.Rho * b.CD * b.area() / (2 * b.MassKg)
}

// lift is the same for the force across the velocity: ½ρC_L A/m, 1/m.
func (b Ball) lift() float64 {
	return b.Rho * b.Lift * b.area() / (2 * b.MassKg)
}

// check reports the first value that is out of range.
func (b Ball) check() *RangeError {
	return first(
		within("mass", b.MassKg, 0.02, 1, "kg"),
		within("circumference", b.CircumferenceM, 0.1, 0.5, "m"),
		within("drag coefficient", b.CD, 0, 2, ""),
		within("uncertainty of the drag coefficient", b.UCD, 0, 2, ""),
		within("air density", b.Rho, 0, 2, "kg/m³"),
		within("uncertainty of the air density", b.URho, 0, 2, "kg/m³"),
		within("lift coefficient", b.Lift, -1, 1, ""),
	)
}

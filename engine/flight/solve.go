package flight

import "math"

// A Path is where a throw starts and where it must arrive; heights are above
// the ground.
type Path struct {
	DistanceM float64 // along the ground, m
	ReleaseM  float64 // height of the ball at release, m
	TargetM   float64 // height at which it must arrive, m
}

// A Throw is the flat throw that hits the target, or the answer that there is
// none. Where it does not carry, only SpeedMps and BestHeightM are set.
type Throw struct {
	Carries     bool    // whether any launch angle reaches the target
	TimeS       float64 // release to arrival, s
	AngleDeg    float64 // launch angle above the horizontal, degrees
	SpeedMps    float64 // launch speed, m/s
	ArrivalMps  float64 // speed at the target, m/s
	UTimeS      float64 // standard uncertainty of TimeS, s
	USpeedMps   float64 // standard uncertainty of SpeedMps, m/s
	BestHeightM float64 // greatest height possible at the target's distance, m; 0 where the ball meets the ground before it; only set when it does not carry
}

// check reports the first value that is out of range.
func (p Path) check() *RangeError {
	return first(
		within("distance", p.DistanceM, 1, 200, "m"),
		within("release height", p.ReleaseM, 0, 10, "m"),
		within("target height", p.TargetM, -2, 10, "m"),
	)
}

// Solve finds the lower of the launch angles at which a ball thrown at
// speedMps hits the target, with the flight time and its uncertainty from
// those of the ball and the air. A throw that does not carry is an answer;
// an error is a *RangeError.
func Solve(ball Ball, path Path, speedMps float64) (Throw, error) {
	in := situation{ball: ball, path: path, speed: speedMps}
	return in.checked(spread{cd: ball.UCD, rho: ball.URho})
}

// lineSlope is the slope of the straight line from release to target.
func (p Path) lineSlope() float64 { return (p.TargetM - p.ReleaseM) / p.DistanceM }

// steepest bounds the launch slope: 80° above the line to the target.
const steepest = 5.67

// throw solves for the situation's speed, searching from a first guess of the
// launch slope, and returns the slope found. The search is coarse until it is
// close, then goes on with the tolerance asked for.
func (in *situation) throw(guess, tolerance float64) (Throw, float64) {
	s := newSearch()
	slope, now := guess, coarse
	for range 100 {
		end, reached := in.shoot(slope, now)
		miss := end.y - in.path.TargetM
		if step := -miss / end.dy; reached && end.dy > 0 && math.Abs(step) < near {
			if now <= tolerance {
				// The rest of the way to first order: the error is of order step².
				end.add(step, &state{y: end.dy, p: end.dp, q: end.dq, t: end.dt})
				return in.hit(&end, slope+step), slope + step
			}
			slope, now = slope+step, tolerance
			continue
		}
		rate := end.dy
		if !reached { // only the side is known
			miss, rate = math.Inf(-1), math.Copysign(1, rate)
		}
		s.note(slope, miss, rate)
		if s.isBest(miss, rate) {
			return in.short(&end, reached), slope
		}
		slope = s.next(max(0, in.path.lineSlope()) + steepest)
	}
	return Throw{SpeedMps: in.speed}, slope
}

// near is a step of the slope small enough to be taken to first order.
const near = 1e-6

// shoot follows a throw of the situation's speed launched at a slope.
func (in *situation) shoot(slope, tolerance float64) (end state, reached bool) {
	a := air{drag: in.ball.drag(), lift: in.ball.lift()}
	floor := min(in.path.TargetM, 0) - in.path.DistanceM
	return a.follow(launch(in.path.ReleaseM, in.speed, slope), in.path.DistanceM, floor, tolerance)
}

// flatGuess is the launch slope of a throw so flat that its speed along the
// ground falls as e^{−kx}: the lower root of x·p − c(1+p²) = rise with
// c = g(e^{2kx} − 1 − 2kx)/(4k²v²), or the best slope when there is no root.
func (in *situation) flatGuess() float64 {
	x, k := in.path.DistanceM, max(in.ball.drag(), 1e-6)
	c := Gravity * (math.Expm1(2*k*x) - 2*k*x) / (4 * k * k * in.speed * in.speed)
	root := x*x - 4*c*(c+in.path.TargetM-in.path.ReleaseM)
	return (x - math.Sqrt(max(0, root))) / (2 * c)
}

func (in *situation) hit(end *state, slope float64) Throw {
	return Throw{
		Carries: true, TimeS: end.t, AngleDeg: degrees(math.Atan(slope)),
		SpeedMps: in.speed, ArrivalMps: end.speed(),
	}
}

// short is the answer for a throw that does not carry, from the flight that
// came nearest.
func (in *situation) short(end *state, reached bool) Throw {
	throw := Throw{SpeedMps: in.speed}
	if reached {
		throw.BestHeightM = max(0, end.y)
	}
	return throw
}

func degrees(radians float64) float64 { return radians * 180 / math.Pi }

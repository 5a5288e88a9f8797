package flight

import (
	"fmt"
	"math"
)

// A Reply answers a Request. Null is what a throw that does not carry does not
// have. SpeedMps is the launch speed, stated or found.
type Reply struct {
	Carries     bool     `json:"carries"`
	TimeS       *float64 `json:"time_s"`
	AngleDeg    *float64 `json:"angle_deg"`
	SpeedMps    *float64 `json:"speed_mps"`
	ArrivalMps  *float64 `json:"arrival_mps"`
	US          *float64 `json:"u_s"`           // standard uncertainty of time_s
	UMps        *float64 `json:"u_mps"`         // standard uncertainty of speed_mps
	BestHeightM *float64 `json:"best_height_m"` // when it does not carry: the greatest height at the target's distance; 0 where it meets the ground first
	Inputs      []Input  `json:"inputs"`
	Notes       []Note   `json:"notes"`
}

// Answer works a request out; every error is a *BadRequest. With both speed
// and time stated it answers from the speed and compares the two.
func Answer(req Request) (Reply, error) {
	var in intake
	s, u := req.situation(&in)
	if err := in.err(); err != nil {
		return Reply{}, err
	}
	if err := s.checkAll(u); err != nil {
		return Reply{}, refused(err)
	}
	if req.Speed != nil && req.Time != nil {
		other := s
		other.inverse = true
		if err := other.check(); err != nil {
			return Reply{}, refused(err)
		}
	}
	throw := s.answer(u)
	reply := Reply{Carries: throw.Carries, Inputs: in.inputs, Notes: []Note{}}
	switch {
	case throw.Carries:
		reply.carried(throw)
	case s.inverse && throw.SpeedMps == 0:
		reply.note("does-not-carry", "In this air no throw over this distance arrives so soon, however fast.")
	case s.inverse:
		reply.note("does-not-carry", "No flat throw over this distance takes that long: the slowest that carries leaves at %.1f m/s and takes %.2f s.", throw.SpeedMps, throw.TimeS)
	default:
		reply.fallsShort(throw)
	}
	if req.Speed != nil && req.Time != nil && throw.Carries {
		reply.compare(throw, Amount{s.time, u.time})
	}
	return reply, nil
}

func (r *Reply) note(code, format string, args ...any) {
	r.Notes = append(r.Notes, Note{code, fmt.Sprintf(format, args...)})
}

func (r *Reply) carried(t Throw) {
	r.TimeS, r.AngleDeg, r.SpeedMps, r.ArrivalMps = rounded(t.TimeS), rounded(t.AngleDeg), rounded(t.SpeedMps), rounded(t.ArrivalMps)
	r.US, r.UMps = rounded(t.UTimeS), rounded(t.USpeedMps)
}

func (r *Reply) fallsShort(t Throw) {
	r.SpeedMps, r.UMps, r.BestHeightM = rounded(t.SpeedMps), rounded(t.USpeedMps), rounded(t.BestHeightM)
	if t.BestHeightM > 0 {
		r.note("does-not-carry", "At this speed the ball is at most %.2f m above the ground at the target's distance, whatever the angle.", t.BestHeightM)
		return
	}
	r.note("does-not-carry", "At this speed the ball meets the ground before the target's distance, whatever the angle.")
}

// compare notes a stated time that is more than 3 combined standard
// uncertainties from the time that the stated speed takes.
func (r *Reply) compare(t Throw, stated Amount) {
	apart, u := stated.Value-t.TimeS, math.Hypot(stated.U, t.UTimeS)
	if math.Abs(apart) > 3*u {
		r.note("speed-against-time", "The stated speed takes %.3f s, the stated time is %.3f s: they differ by %.3f s, more than 3 times their standard uncertainty of %.3f s.", t.TimeS, stated.Value, math.Abs(apart), u)
	}
}

func rounded(x float64) *float64 {
	x = round7(x)
	return &x
}

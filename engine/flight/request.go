package flight

import (
	"math"

	"rootcue/engine/place"
	"rootcue/engine/strictjson"
)

// A Request asks for the time of a throw of a stated speed, or for the speed
// of one of a stated time. Left out: drag coefficient, air, mass,
// circumference and lift take the defaults of Default. The uncertainty of a
// value stands within it or under its key with u_ in front; left out beside a
// stated value it is 0.
type Request struct {
	Speed         *Quantity `json:"speed,omitempty"`
	Time          *Quantity `json:"time,omitempty"`
	Distance      *Quantity `json:"distance"`
	ReleaseHeight *Quantity `json:"release_height"`
	TargetHeight  *Quantity `json:"target_height"`
	CD            *Quantity `json:"cd,omitempty"`
	Rho           *Quantity `json:"rho,omitempty"` // kg/m³, a plain number
	Mass          *Quantity `json:"mass,omitempty"`
	Circumference *Quantity `json:"circumference,omitempty"`
	Lift          *Quantity `json:"lift,omitempty"`
	Altitude      *Quantity `json:"altitude,omitempty"`    // in place of rho
	Temperature   *Quantity `json:"temperature,omitempty"` // °C, a plain number; in place of rho

	USpeed         *Quantity `json:"u_speed,omitempty"`
	UTime          *Quantity `json:"u_time,omitempty"`
	UReleaseHeight *Quantity `json:"u_release_height,omitempty"`
	UTargetHeight  *Quantity `json:"u_target_height,omitempty"`
	UCD            *Quantity `json:"u_cd,omitempty"`
	URho           *Quantity `json:"u_rho,omitempty"`
}

// keys leads from JSON keys to the request's fields.
func (r *Request) keys() []keyed {
	return []keyed{
		{"speed", &r.Speed}, {"u_speed", &r.USpeed}, {"time", &r.Time}, {"u_time", &r.UTime},
		{"distance", &r.Distance},
		{"release_height", &r.ReleaseHeight}, {"u_release_height", &r.UReleaseHeight},
		{"target_height", &r.TargetHeight}, {"u_target_height", &r.UTargetHeight},
		{"cd", &r.CD}, {"u_cd", &r.UCD}, {"rho", &r.Rho}, {"u_rho", &r.URho},
		{"mass", &r.Mass}, {"circumference", &r.Circumference}, {"lift", &r.Lift},
		{"altitude", &r.Altitude}, {"temperature", &r.Temperature},
	}
}

// DecodeRequest reads a request strictly; every slip has its JSON Pointer.
func DecodeRequest(data []byte) (Request, []place.Problem) {
	var req Request
	problems := strictjson.Read(data, func(r *strictjson.Reader) {
		readKeyed(r, req.keys(), nil)
	})
	return req, problems
}

// keyed is a quantity under its JSON key.
type keyed struct {
	key string
	at  **Quantity
}

// readKeyed reads an object of quantities; other reads the keys that are none
// and reports whether it knew the key. Null leaves a quantity out.
func readKeyed(r *strictjson.Reader, keys []keyed, other func(key string) bool, more ...string) {
	r.Object(func(key string) {
		names := more
		for _, k := range keys {
			if k.key == key {
				if !r.Null() {
					*k.at = readQuantity(r)
				}
				return
			}
			names = append(names, k.key)
		}
		if other == nil || !other(key) {
			r.Unknown(key, names)
		}
	})
}

// situation is the throw a request speaks of, with its uncertainties.
func (r *Request) situation(in *intake) (s situation, u spread) {
	speed, hasSpeed := in.take("speed", "m/s", r.Speed, r.USpeed)
	time, hasTime := in.take("time", "s", r.Time, r.UTime)
	if !hasSpeed && !hasTime && r.Speed == nil && r.Time == nil {
		in.slip("speed", "missing", "neither speed nor time", "a speed such as 60mph, or a time such as 1.26s for the speed it takes", "")
	}
	distance := in.need("distance", "m", r.Distance, nil)
	release := in.need("release_height", "m", r.ReleaseHeight, r.UReleaseHeight)
	target := in.need("target_height", "m", r.TargetHeight, r.UTargetHeight)
	cd := in.or("cd", "1", r.CD, r.UCD, Amount{defaultCD, defaultUCD}, sourceCD)
	rho := r.density(in)
	mass := in.or("mass", "kg", r.Mass, nil, Amount{Value: defaultMassKg}, sourceMass)
	round := in.or("circumference", "m", r.Circumference, nil, Amount{Value: defaultCircumferenceM}, sourceCircumference)
	lift := in.or("lift", "1", r.Lift, nil, Amount{}, sourceLift)
	s = situation{
		ball:    Ball{mass.Value, round.Value, cd.Value, cd.U, rho.Value, rho.U, lift.Value},
		path:    Path{distance.Value, release.Value, target.Value},
		inverse: r.Speed == nil, speed: speed.Value, time: time.Value,
	}
	u = spread{
		mass: mass.U, circumference: round.U, cd: cd.U, rho: rho.U, lift: lift.U,
		distance: distance.U, release: release.U, target: target.U, speed: speed.U, time: time.U,
	}
	return s, u
}

// round7 rounds to the 7 decimals of every number in JSON.
func round7(x float64) float64 { return math.Round(x*1e7) / 1e7 }

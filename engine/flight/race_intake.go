package flight

import "math"

const (
	sourceRace    = "starting value"
	sourceByAge   = "starting value for the age"
	sourceNoLead  = "the runner may not lead"
	sourceSecond  = "base path times the square root of 2: home to second"
	sourceRelease = "starting value: about 0.95 of the stature of a thrower of 1.58 m"
	sourceTarget  = "starting value: a tag at knee height"

	defaultReleaseM = 1.5
	defaultTargetM  = 0.3
)

// input is the race a request speaks of.
func (r *RaceRequest) input(in *intake) RaceInput {
	byAge, leads := r.byAge(in)
	if r.RunnerMayLead != nil {
		leads = *r.RunnerMayLead
	}
	race := RaceInput{NoLeads: !leads, Pop: in.need("pop", "s", r.Pop, r.UPop)}
	if leads {
		race.Delivery = at(in.or("delivery", "s", r.Delivery, r.UDelivery, DefaultDelivery, sourceRace))
	} else {
		in.idle("delivery", r.Delivery, "the runner holds until the pitch reaches the plate")
	}
	race.Tag = at(in.or("tag", "s", r.Tag, r.UTag, DefaultTag, sourceRace))
	if runner, ok := in.take("runner", "s", r.Runner, r.URunner); ok {
		race.Runner = &runner
	}
	basePath := r.basePath(in, byAge)
	race.Model = r.model(in, byAge, basePath, leads)
	if exchange, ok := in.take("exchange", "s", r.Exchange, nil); ok {
		race.Exchange = &exchange
		race.Ball, race.Path = r.throw(in, basePath)
	} else if r.Exchange == nil {
		r.idleThrow(in, "no exchange is stated")
	}
	return race
}

func at[T any](v T) *T { return &v }

// byAge is the default runner of the request's age, and whether leads are
// allowed; without an age only what does not depend on it.
func (r *RaceRequest) byAge(in *intake) (Runner, bool) {
	if r.Age == nil {
		return Runner{Tau: DefaultTau, Reaction: DefaultReaction, Lead: Amount{Value: 10 * foot}}, true
	}
	runner, leads, err := RunnerFor(*r.Age)
	if err != nil {
		in.problems = append(in.problems, problemOf(err)...)
	}
	return runner, leads
}

// basePath is stated, by age, or nothing (0).
func (r *RaceRequest) basePath(in *intake, byAge Runner) Amount {
	if r.BasePath == nil && r.Age == nil {
		return Amount{}
	}
	return in.or("base_path", "m", r.BasePath, nil, byAge.BasePath, sourceByAge)
}

// model is the runner's model; nil where the runner's time is stated and the
// release unknown. With the time stated only the start matters.
func (r *RaceRequest) model(in *intake, byAge Runner, basePath Amount, leads bool) *Runner {
	if r.Runner != nil {
		in.idle("top_speed", r.TopSpeed, "the runner's time is stated")
		in.idle("lead", r.Lead, "the runner's time is stated")
		if r.Exchange == nil {
			in.idle("tau", r.Tau, "the runner's time is stated")
			in.idle("reaction", r.Reaction, "the runner's time is stated")
			return nil
		}
	}
	m := Runner{
		BasePath: basePath,
		Tau:      in.or("tau", "s", r.Tau, r.UTau, byAge.Tau, sourceRace),
		Reaction: in.or("reaction", "s", r.Reaction, r.UReaction, byAge.Reaction, sourceRace),
	}
	if r.Runner != nil {
		return &m
	}
	if r.Age == nil && (r.TopSpeed == nil || r.BasePath == nil) {
		in.slip("runner", "missing", "no time of the runner", "runner, or age for the default runner, or base_path and top_speed", "")
		return nil
	}
	m.TopSpeed = in.or("top_speed", "m/s", r.TopSpeed, r.UTopSpeed, byAge.TopSpeed, sourceByAge)
	if !leads {
		in.idle("lead", r.Lead, sourceNoLead)
		in.used("lead", "m", Amount{}, sourceNoLead)
		return &m
	}
	m.Lead = in.or("lead", "m", r.Lead, nil, byAge.Lead, sourceRace)
	return &m
}

// throw is the ball and its path; nil where the distance is unknown.
func (r *RaceRequest) throw(in *intake, basePath Amount) (*Ball, *Path) {
	if r.Distance == nil && basePath.Value == 0 {
		r.idleThrow(in, "the distance of the throw is not known")
		return nil, nil
	}
	second := Amount{basePath.Value * math.Sqrt2, basePath.U * math.Sqrt2}
	path := Path{
		DistanceM: in.or("distance", "m", r.Distance, nil, second, sourceSecond).Value,
		ReleaseM:  in.or("release_height", "m", r.ReleaseHeight, nil, Amount{Value: defaultReleaseM}, sourceRelease).Value,
		TargetM:   in.or("target_height", "m", r.TargetHeight, nil, Amount{Value: defaultTargetM}, sourceTarget).Value,
	}
	ball := Default()
	in.used("cd", "1", Amount{ball.CD, ball.UCD}, sourceCD)
	in.used("rho", "kg/m³", Amount{ball.Rho, ball.URho}, sourceRho)
	return &ball, &path
}

// idleThrow notes what was stated of a throw that plays no part.
func (r *RaceRequest) idleThrow(in *intake, why string) {
	in.idle("distance", r.Distance, why)
	in.idle("release_height", r.ReleaseHeight, why)
	in.idle("target_height", r.TargetHeight, why)
}

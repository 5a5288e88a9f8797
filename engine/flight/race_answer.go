package flight

// A RaceReply answers a RaceRequest. Without an exchange nothing is known of
// the release: runner_at_release and need are null.
type RaceReply struct {
	MarginS         float64   `json:"margin_s"`   // runner less the throw; positive: the tag comes first
	US              float64   `json:"u_s"`        // standard uncertainty of margin_s
	ChanceOut       float64   `json:"chance_out"` // Φ(margin_s/u_s)
	RunnerS         float64   `json:"runner_s"`   // the runner's time
	URunnerS        float64   `json:"u_runner_s"`
	RunnerAtRelease *float64  `json:"runner_at_release"` // share of the way (base path less lead) run when the ball leaves the hand
	Need            *RaceNeed `json:"need"`
	Inputs          []Input   `json:"inputs"`
	Notes           []Note    `json:"notes"`
}

// RaceNeed is what would make the race even; null where nothing would.
type RaceNeed struct {
	ExchangeS *float64 `json:"exchange_s"` // at this flight
	SpeedMps  *float64 `json:"speed_mps"`  // at this exchange
	UMps      *float64 `json:"u_mps"`      // standard uncertainty of speed_mps
}

// RaceAnswer works a request out; every error is a *BadRequest.
func RaceAnswer(req RaceRequest) (RaceReply, error) {
	var in intake
	race := req.input(&in)
	if err := in.err(); err != nil {
		return RaceReply{}, err
	}
	result, err := Race(race)
	if err != nil {
		return RaceReply{}, refused(err)
	}
	reply := RaceReply{
		MarginS: round7(result.MarginS), US: round7(result.US), ChanceOut: round7(result.ChanceOut),
		RunnerS: round7(result.Runner.Value), URunnerS: round7(result.Runner.U),
		Inputs: in.inputs, Notes: append([]Note{}, in.notes...),
	}
	if result.RunnerAtRelease != nil {
		reply.RunnerAtRelease = rounded(*result.RunnerAtRelease)
		reply.Need = needed(result.Need)
	}
	return reply, nil
}

func needed(n *Need) *RaceNeed {
	var out RaceNeed
	if n.Exchange != nil {
		out.ExchangeS = rounded(n.Exchange.Value)
	}
	if n.Throw != nil && n.Throw.Carries {
		out.SpeedMps, out.UMps = rounded(n.Throw.SpeedMps), rounded(n.Throw.USpeedMps)
	}
	return &out
}

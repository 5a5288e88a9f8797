package cli

import (
	"fmt"

	"rootcue/engine/flight"
)

// raceCmd answers who wins a race to the base, and how surely.
type raceCmd struct {
	Pop           quantitySeconds `help:"Catch to the glove at the base, s." required:"" placeholder:"TIME"`
	UPop          quantitySeconds `help:"Its standard uncertainty (0 when left out)." placeholder:"TIME"`
	Delivery      quantitySeconds `help:"Pitcher's first move to the catch (1.35 with u 0.08 when left out)." placeholder:"TIME"`
	UDelivery     quantitySeconds `help:"Its standard uncertainty." placeholder:"TIME"`
	Tag           quantitySeconds `help:"Glove to tag (0.10 with u 0.03 when left out)." placeholder:"TIME"`
	UTag          quantitySeconds `help:"Its standard uncertainty." placeholder:"TIME"`
	Runner        quantitySeconds `help:"The runner's time; from the runner's model when left out." placeholder:"TIME"`
	URunner       quantitySeconds `help:"Its standard uncertainty." placeholder:"TIME"`
	Exchange      quantitySeconds `help:"Catch to release, for what would make the race even." placeholder:"TIME"`
	Age           *int            `help:"Playing age in years, for the default runner and bases."`
	RunnerMayLead *bool           `negatable:"" help:"Whether the runner may lead (by age when left out)."`
	BasePath      quantityFlag    `help:"Base to base, such as 70ft." placeholder:"LENGTH"`
	Lead          quantityFlag    `help:"Lead, such as 10ft." placeholder:"LENGTH"`
	TopSpeed      quantityFlag    `help:"The runner's top speed, such as 6.7m/s." placeholder:"SPEED"`
	UTopSpeed     quantityFlag    `help:"Its standard uncertainty." placeholder:"SPEED"`
	Tau           quantitySeconds `help:"Time constant of the runner's start (0.6 with u 0.1 when left out)." placeholder:"TIME"`
	UTau          quantitySeconds `help:"Its standard uncertainty." placeholder:"TIME"`
	Reaction      quantitySeconds `help:"The runner's reaction (0.20 with u 0.05 when left out)." placeholder:"TIME"`
	UReaction     quantitySeconds `help:"Its standard uncertainty." placeholder:"TIME"`
	Distance      quantityFlag    `help:"Of the throw; home to second when left out." placeholder:"LENGTH"`
	ReleaseHeight quantityFlag    `help:"Of the throw (1.5m when left out)." placeholder:"LENGTH"`
	TargetHeight  quantityFlag    `help:"Of the throw (0.3m when left out)." placeholder:"LENGTH"`
	Format        string          `enum:"text,json" default:"text" help:"text or json."`
}

// quantitySeconds is a flag's time: 2.05 is seconds, 2.05s and 2050ms also do.
type quantitySeconds struct{ q *flight.Quantity }

// UnmarshalText reads the flag; the error says what was wanted.
func (f *quantitySeconds) UnmarshalText(text []byte) (err error) {
	if f.q, err = flight.ParseQuantity(string(text)); err != nil {
		f.q, err = flight.ParseQuantity(string(text) + "s")
	}
	return err
}

// Run prints the answer.
func (c *raceCmd) Run(s *streams) error {
	reply, err := flight.RaceAnswer(flight.RaceRequest{
		Pop: c.Pop.q, UPop: c.UPop.q, Delivery: c.Delivery.q, UDelivery: c.UDelivery.q, Tag: c.Tag.q, UTag: c.UTag.q,
		Runner: c.Runner.q, URunner: c.URunner.q, Exchange: c.Exchange.q, Age: c.Age, RunnerMayLead: c.RunnerMayLead,
		BasePath: c.BasePath.q, Lead: c.Lead.q, TopSpeed: c.TopSpeed.q, UTopSpeed: c.UTopSpeed.q,
		Tau: c.Tau.q, UTau: c.UTau.q, Reaction: c.Reaction.q, UReaction: c.UReaction.q,
		Distance: c.Distance.q, ReleaseHeight: c.ReleaseHeight.q, TargetHeight: c.TargetHeight.q,
	})
	if err != nil {
		return badFlags(err)
	}
	if c.Format == "json" {
		return printJSON(s.Out, reply)
	}
	return printLines(s.Out, raceText(reply))
}

// raceText is the answer in words, with units, uncertainties and sources.
func raceText(r flight.RaceReply) []string {
	who := "the tag comes first"
	if r.MarginS <= 0 {
		who = "the runner is safe"
	}
	lines := []string{
		fmt.Sprintf("Margin %s: %s more likely than not.", withU(r.MarginS, r.US, "s"), who),
		fmt.Sprintf("Chance of an out: %s.", percent(r.ChanceOut)),
		fmt.Sprintf("Runner: %s.", withU(r.RunnerS, r.URunnerS, "s")),
	}
	if r.RunnerAtRelease != nil {
		lines = append(lines, fmt.Sprintf("When the ball leaves the hand the runner has run %.0f %% of the way.", 100**r.RunnerAtRelease))
	}
	if r.Need != nil {
		lines = append(lines, needText(r.Need, r.US)...)
	}
	return append(append(lines, notesText(r.Notes)...), inputsText(r.Inputs)...)
}

// percent never says 0 or 100 of what is not certain.
func percent(chance float64) string {
	switch {
	case chance < 0.01:
		return "below 1 %"
	case chance > 0.99:
		return "above 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*chance)
}

func needText(n *flight.RaceNeed, u float64) []string {
	lines := []string{"No exchange would make the race even at this flight."}
	if n.ExchangeS != nil {
		lines[0] = fmt.Sprintf("Even at this flight: an exchange of %s.", withU(*n.ExchangeS, u, "s"))
	}
	if n.SpeedMps == nil {
		return lines
	}
	return append(lines, fmt.Sprintf("Even at this exchange: a throw of %s (%.1f mph).", withU(*n.SpeedMps, *n.UMps, "m/s"), *n.SpeedMps/metresPerMph))
}

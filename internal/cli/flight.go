package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"rootcue/engine/flight"
)

// quantityFlag is a flag's number with its unit, such as 60mph.
type quantityFlag struct{ q *flight.Quantity }

// UnmarshalText reads the flag; the error says what was wanted.
func (f *quantityFlag) UnmarshalText(text []byte) (err error) {
	f.q, err = flight.ParseQuantity(string(text))
	return err
}

// plain is a flag that is a pure number; nil stays left out.
func plain(v *float64) *flight.Quantity {
	if v == nil {
		return nil
	}
	return flight.SI(*v)
}

// flightCmd answers how long a throw takes, or how fast it is.
type flightCmd struct {
	Speed          quantityFlag `help:"Launch speed, such as 60mph; the answer is the time." placeholder:"SPEED"`
	Time           quantityFlag `help:"Flight time, such as 1.26s; the answer is the speed." placeholder:"TIME"`
	Distance       quantityFlag `help:"Along the ground, such as 98.99ft." required:"" placeholder:"LENGTH"`
	ReleaseHeight  quantityFlag `help:"Height of the ball at release, such as 5ft." required:"" placeholder:"LENGTH"`
	TargetHeight   quantityFlag `help:"Height at which it must arrive, such as 1ft." required:"" placeholder:"LENGTH"`
	CD             *float64     `name:"cd" help:"Drag coefficient (0.35 with u 0.05 when left out)."`
	Rho            *float64     `help:"Density of the air, kg/m³ (1.2 with u 0.04 when left out)."`
	Altitude       quantityFlag `help:"Altitude, in place of --rho." placeholder:"LENGTH"`
	Temperature    *float64     `help:"Temperature of the air in degrees C, in place of --rho."`
	Mass           quantityFlag `help:"Mass of the ball (0.145kg when left out)." placeholder:"MASS"`
	Circumference  quantityFlag `help:"Circumference of the ball (9.125in when left out)." placeholder:"LENGTH"`
	Lift           *float64     `help:"Lift coefficient (0 when left out)."`
	USpeed         quantityFlag `help:"Standard uncertainty of the speed." placeholder:"SPEED"`
	UTime          quantityFlag `help:"Standard uncertainty of the time." placeholder:"TIME"`
	UReleaseHeight quantityFlag `help:"Standard uncertainty of the release height." placeholder:"LENGTH"`
	UTargetHeight  quantityFlag `help:"Standard uncertainty of the target height." placeholder:"LENGTH"`
	UCD            *float64     `name:"u-cd" help:"Standard uncertainty of the drag coefficient."`
	URho           *float64     `help:"Standard uncertainty of the density, kg/m³."`
	Format         string       `enum:"text,json" default:"text" help:"text or json."`
}

// Run prints the answer; a throw that does not carry is one.
func (c *flightCmd) Run(s *streams) error {
	reply, err := flight.Answer(flight.Request{
		Speed: c.Speed.q, Time: c.Time.q, Distance: c.Distance.q,
		ReleaseHeight: c.ReleaseHeight.q, TargetHeight: c.TargetHeight.q,
		CD: plain(c.CD), Rho: plain(c.Rho), Altitude: c.Altitude.q, Temperature: plain(c.Temperature),
		Mass: c.Mass.q, Circumference: c.Circumference.q, Lift: plain(c.Lift),
		USpeed: c.USpeed.q, UTime: c.UTime.q, UReleaseHeight: c.UReleaseHeight.q, UTargetHeight: c.UTargetHeight.q,
		UCD: plain(c.UCD), URho: plain(c.URho),
	})
	if err != nil {
		return badFlags(err)
	}
	if c.Format == "json" {
		return printJSON(s.Out, reply)
	}
	return printLines(s.Out, flightText(reply))
}

// badFlags is a request's slips in the words of the command line.
func badFlags(err error) error {
	var bad *flight.BadRequest
	if !errors.As(err, &bad) {
		return err
	}
	lines := make([]string, len(bad.Problems))
	for i, p := range bad.Problems {
		flag := strings.ReplaceAll(strings.TrimPrefix(p.Pointer, "/"), "_", "-")
		lines[i] = fmt.Sprintf("--%s: found %s, wanted %s", flag, p.Found, p.Wanted)
		if p.Hint != "" {
			lines[i] += " (" + p.Hint + ")"
		}
	}
	return badInput("%s", strings.Join(lines, "\n"))
}

func printJSON(out io.Writer, reply any) error {
	e := json.NewEncoder(out)
	e.SetEscapeHTML(false)
	if err := e.Encode(reply); err != nil {
		return cannotRun("cannot write the answer: %v", err)
	}
	return nil
}

func printLines(out io.Writer, lines []string) error {
	if _, err := fmt.Fprintln(out, strings.Join(lines, "\n")); err != nil {
		return cannotRun("cannot write the answer: %v", err)
	}
	return nil
}

// flightText is the answer in words, with units, uncertainties and sources.
func flightText(r flight.Reply) []string {
	lines := []string{"The throw does not carry."}
	if r.Carries {
		lines = []string{
			fmt.Sprintf("The throw carries in %s.", withU(*r.TimeS, *r.US, "s")),
			fmt.Sprintf("Launch: %s (%.1f mph), %.1f° above level.", withU(*r.SpeedMps, *r.UMps, "m/s"), *r.SpeedMps/metresPerMph, *r.AngleDeg),
			fmt.Sprintf("Arrival: %.1f m/s (%.1f mph).", *r.ArrivalMps, *r.ArrivalMps/metresPerMph),
		}
	}
	return append(append(lines, notesText(r.Notes)...), inputsText(r.Inputs)...)
}

// metresPerMph is one mile an hour in m/s (NIST SP 811, exact).
const metresPerMph = 1609.344 / 3600

func notesText(notes []flight.Note) []string {
	lines := make([]string, len(notes))
	for i, n := range notes {
		lines[i] = "Note: " + n.Says
	}
	return lines
}

func inputsText(inputs []flight.Input) []string {
	lines := []string{"From:"}
	for _, in := range inputs {
		name := strings.ReplaceAll(in.Name, "_", " ")
		lines = append(lines, fmt.Sprintf("  %s %s (%s)", name, withU(in.Value, in.U, in.Unit), in.Source))
	}
	return lines
}

// withU is a value to the digits its standard uncertainty supports, two of the
// uncertainty; without one, six significant digits.
func withU(v, u float64, unit string) string {
	text := fmt.Sprintf("%.6g", v)
	if u > 0 {
		text = uncertain(v, u)
	}
	return strings.TrimSpace(text + " " + unit)
}

// uncertain is "value ± u" with two significant digits of u (JCGM 100 7.2.6).
func uncertain(v, u float64) string {
	places := 0
	for scaled := u; scaled < 9.95 && places < 7; places++ {
		scaled *= 10
	}
	return fmt.Sprintf("%.*f ± %.*f", places, v, places, u)
}

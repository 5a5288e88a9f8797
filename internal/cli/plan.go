package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"rootcue/engine/place"
	"rootcue/engine/practice"
)

// planCmd plans a practice for a group.
type planCmd struct {
	Format   string `enum:"text,json" default:"text" help:"text or json."`
	Practice string `arg:"" help:"The practice, YAML or JSON; assessments are looked for beside it; - reads standard input."`
}

// Help is the example shown by --help.
func (planCmd) Help() string { return "Example:\n  rootcue plan testdata/practices/evening.yaml" }

// Run prints the plan; warnings go to standard error.
func (c *planCmd) Run(s *streams) error {
	data, err := readInput(c.Practice, s)
	if err != nil {
		return err
	}
	d, problems := practice.Read(c.Practice, data)
	if d != nil {
		more, err := c.assessments(d)
		if err != nil {
			return err
		}
		problems = append(problems, more...)
	}
	place.Sort(problems)
	if place.Failed(problems) {
		return badInput("%s: no practice to plan\n%s", c.Practice, rendered(place.Cap(problems), data))
	}
	if len(problems) > 0 {
		fmt.Fprintln(s.Err, rendered(place.Cap(problems), data))
	}
	plan := practice.Make(d.Practice)
	if c.Format == "json" {
		return printJSON(s.Out, plan)
	}
	return printLines(s.Out, planText(plan))
}

// assessments reads the assessments that the practice names, from its own folder.
func (c *planCmd) assessments(d *practice.Document) ([]place.Problem, error) {
	var problems []place.Problem
	for _, source := range d.Sources {
		name := source.Name
		if !filepath.IsAbs(name) && c.Practice != "-" {
			name = filepath.Join(filepath.Dir(c.Practice), name)
		}
		data, err := os.ReadFile(name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			problems = append(problems, source.Problem("no-file", "no file "+name, "an assessment document", ""))
			continue
		case err != nil:
			return nil, cannotRun("cannot read the assessment: %v", err)
		}
		a, err := practice.ReadAssessment(data)
		if err != nil {
			problems = append(problems, source.Problem("not-an-assessment", err.Error()+" in "+name, "an assessment document", "rootcue assess --format json writes one"))
			continue
		}
		d.Practice.Players[source.Player].Take(a)
	}
	return problems, nil
}

// planText is a plan in words.
func planText(p practice.Plan) []string {
	lines := []string{fmt.Sprintf("The group gains %.3f s in all; no plan gains more than %.3f s.", p.GainS, p.BoundS)}
	for _, t := range p.Turns {
		lines = append(lines, "", fmt.Sprintf("Turn %d", t.Turn))
		for _, a := range t.Stations {
			lines = append(lines, fmt.Sprintf("  %s: %s", a.Drill, strings.Join(a.Players, ", ")))
		}
		if len(t.Stations) == 0 {
			lines = append(lines, "  nothing that helps anyone")
		}
	}
	lines = append(lines, "", "Who gains what (seconds off the clock, as expected from the assessments)")
	for _, g := range p.Players {
		lines = append(lines, fmt.Sprintf("  %s: %.3f s, %d throws (%s)", g.Ref, g.GainS, g.Throws, g.Why))
	}
	lines = append(lines, remarks("Left over", p.LeftOver, leavingText)...)
	return append(lines, "", "Throws left come from the practice as written; the league's rules and a licensed clinician's word come first.")
}

func leavingText(l practice.Leaving) string {
	name := strings.TrimSpace(l.Ref + " " + l.Drill)
	if l.GainS > 0 {
		return fmt.Sprintf("%s (%.3f s a turn): %s", name, l.GainS, l.Says)
	}
	return name + ": " + l.Says
}

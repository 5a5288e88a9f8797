package cli

import (
	"fmt"
	"io"
	"strings"

	"rootcue/engine"
	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
)

type compareCmd struct {
	Format       string   `help:"How to answer: text or json." enum:"text,json" default:"text"`
	Old          string   `arg:"" help:"The rubric in force, NAME or FILE."`
	New          string   `arg:"" help:"The changed rubric, NAME or FILE."`
	Observations []string `arg:"" name:"observation" help:"Observation documents, JSON or NDJSON; - reads standard input."`
}

// Help is the example shown by --help.
func (compareCmd) Help() string {
	return "Example:\n  rootcue compare throw-to-second my-throw.yaml testdata/observations/off-line.json"
}

// Run judges each document by both rubrics and prints what changes.
func (c *compareCmd) Run(s *streams) error {
	before, err := loadRubric(c.Old)
	if err != nil {
		return err
	}
	after, err := loadRubric(c.New)
	if err != nil {
		return err
	}
	bad, n := 0, 0
	for _, name := range c.Observations {
		in, err := openInput(name, s)
		if err != nil {
			return err
		}
		err = eachDocument(name, in, func(d document) error {
			n++
			diff, problems := compareOne(d, before, after)
			if diff == nil {
				bad++
				for _, p := range problems {
					fmt.Fprintln(s.Err, d.place()+p.Summary())
				}
				return nil
			}
			return c.print(s.Out, d, *diff)
		})
		in.Close()
		if err != nil {
			return err
		}
	}
	if bad > 0 {
		return failure{exitInput, fmt.Sprintf("%d of %d observations not compared", bad, n)}
	}
	return nil
}

func compareOne(d document, before, after *rubric.Rubric) (*engine.Difference, []place.Problem) {
	o, problems := observation.Decode(d.data)
	if o == nil {
		return nil, problems
	}
	a, problems := engine.OutcomeOf(before, o)
	if a == nil {
		return nil, problems
	}
	b, problems := engine.OutcomeOf(after, o)
	if b == nil {
		return nil, problems
	}
	diff := engine.Compare(a, b)
	return &diff, nil
}

func (c *compareCmd) print(out io.Writer, d document, diff engine.Difference) error {
	if c.Format == "json" {
		return printJSON(out, diff)
	}
	lines := []string{fmt.Sprintf("%s%s", d.place(), diff.Player)}
	for _, f := range diff.Findings {
		lines = append(lines, fmt.Sprintf("  %s: %s -> %s", f.Fault, orNone(f.Old), orNone(f.New)))
	}
	for _, x := range diff.Chains {
		lines = append(lines, fmt.Sprintf("  chain from %s: gives back %s s -> %s s", x.Root, x.OldS, x.NewS))
	}
	if strings.Join(diff.OldWorkOn, ",") != strings.Join(diff.NewWorkOn, ",") {
		lines = append(lines, fmt.Sprintf("  work on: %s -> %s", orNone(strings.Join(diff.OldWorkOn, ", ")), orNone(strings.Join(diff.NewWorkOn, ", "))))
	}
	if len(lines) == 1 {
		lines = append(lines, "  no change")
	}
	return printLines(out, lines)
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

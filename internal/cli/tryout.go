package cli

import (
	"fmt"
	"strings"

	"rootcue/engine/panel"
	"rootcue/engine/place"
)

// tryoutCmd judges a panel's grades and stands the players.
type tryoutCmd struct {
	Weights map[string]float64 `mapsep:"," placeholder:"ITEM=WEIGHT,…" help:"What each item counts in the score; below zero where less is better. All alike when left out."`
	Best    int                `default:"1" placeholder:"K" help:"Give each player's chance to be among the best K."`
	Looks   int                `default:"0" placeholder:"N" help:"Plan N more blind looks for each item: who should see whom to learn most."`
	Format  string             `enum:"text,json" default:"text" help:"text or json."`
	Grades  string             `arg:"" help:"The grades, CSV with the columns bib,evaluator,item,grade and, for second looks, look; - reads standard input."`
}

// Help is the example shown by --help.
func (tryoutCmd) Help() string {
	return "Example:\n  rootcue tryout --weights receiving=0.4,throwing=0.6 --best 4 testdata/tryouts/spring.csv"
}

// Run prints the answer. Lines that are wrong are reported after it, and end
// the program with the code for bad input; so does a panel that falls apart.
func (c *tryoutCmd) Run(s *streams) error {
	if c.Best < 1 {
		return badUsage("--best: found %d, wanted 1 or more", c.Best)
	}
	data, err := readInput(c.Grades, s)
	if err != nil {
		return err
	}
	grades, slips := panel.ReadCSV(c.Grades, data)
	if len(grades) == 0 {
		return c.noGrades(slips, data)
	}
	r, problems := panel.Tryout(grades, panel.Options{Weights: c.Weights, Best: c.Best, Looks: c.Looks})
	if len(problems) > 0 {
		return badUsage("%s", strings.Join(flagLines(problems), "\n"))
	}
	if err := c.print(s, r); err != nil {
		return err
	}
	return c.failure(r, slips, data)
}

func (c *tryoutCmd) print(s *streams, r panel.Result) error {
	if c.Format == "json" {
		return printJSON(s.Out, r)
	}
	return printLines(s.Out, tryoutText(r, c.Best))
}

// noGrades is the failure where nothing can be judged.
func (c *tryoutCmd) noGrades(slips []place.Problem, data []byte) error {
	if len(slips) == 0 {
		return badInput("%s: found no grade under the header, wanted at least one", c.Grades)
	}
	return badInput("%s holds no grade that can be used\n%s", c.Grades, rendered(place.Cap(slips), data))
}

// failure is what to end with after the answer, nil when all was well.
func (c *tryoutCmd) failure(r panel.Result, slips []place.Problem, data []byte) error {
	var lines []string
	for _, split := range r.Splits {
		lines = append(lines, "unconnected: "+split.Says())
	}
	if len(slips) > 0 {
		lines = append(lines, fmt.Sprintf("%s: lines that are wrong (%d); the answer rests on the others", c.Grades, len(slips)), rendered(place.Cap(slips), data))
	}
	if lines == nil {
		return nil
	}
	return badInput("%s", strings.Join(lines, "\n"))
}

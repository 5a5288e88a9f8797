package cli

import (
	"bytes"
	"fmt"
	"strings"

	"rootcue/engine"
	"rootcue/engine/place"
	"rootcue/engine/workload"
)

type checkCmd struct {
	Format string   `help:"How to answer: text or json." enum:"text,json" default:"text"`
	Merged bool     `help:"Also print the limits by band, with what a rubric takes over from the one it extends."`
	Files  []string `arg:"" name:"file" help:"Rubric or workload policy files."`
}

// Help is the example shown by --help.
func (checkCmd) Help() string {
	return "Example:\n  rootcue check rubrics/throw-to-second.yaml\nWarnings alone do not fail."
}

// A fileReport is what check says of one file.
type fileReport struct {
	File     string          `json:"file"`
	Kind     string          `json:"kind"`
	Name     string          `json:"name"`
	Problems []place.Problem `json:"problems"`
	Untried  *engine.Reach   `json:"untried,omitempty"`
	Limits   string          `json:"limits,omitempty"`
}

// Run checks every file, and fails if any has a problem that is no warning.
func (c *checkCmd) Run(s *streams) error {
	bad := 0
	var detail strings.Builder
	for _, file := range c.Files {
		data, err := readInput(file, s)
		if err != nil {
			return err
		}
		src := source{file, data}
		rep := c.check(src)
		text := place.Render(rep.Problems, sourceOf(src, besides(src.name)))
		if place.Failed(rep.Problems) {
			bad++
			detail.WriteString(text)
			text = ""
		}
		if c.Format == "json" {
			if err := printJSON(s.Out, rep); err != nil {
				return err
			}
		} else {
			rep.print(s, text)
		}
	}
	if bad > 0 {
		return badInput("%d of %d files have problems\n%s", bad, len(c.Files), strings.TrimRight(detail.String(), "\n"))
	}
	return nil
}

func (c *checkCmd) check(src source) fileReport {
	rep := fileReport{File: src.name, Kind: "rubric", Problems: []place.Problem{}}
	if isPolicy(src.data) {
		rep.Kind = "policy"
		p, problems := workload.Parse(src.name, src.data)
		rep.Problems = append(rep.Problems, problems...)
		if p != nil {
			rep.Name = p.Name
		}
		return rep
	}
	r, reach, problems := engine.CheckRubric(src.name, src.data, besides(src.name))
	rep.Problems = append(rep.Problems, problems...)
	if r != nil {
		rep.Name, rep.Untried = r.Name, &reach
		if c.Merged {
			rep.Limits = r.LimitTable()
		}
	}
	return rep
}

// isPolicy tells a workload policy from a rubric by its first key.
func isPolicy(data []byte) bool {
	return bytes.HasPrefix(data, []byte("policy:")) || bytes.Contains(data, []byte("\npolicy:"))
}

// print says that a file is good, after its warnings, and what is untried.
func (rep fileReport) print(s *streams, warnings string) {
	if place.Failed(rep.Problems) {
		return
	}
	fmt.Fprint(s.Out, warnings)
	fmt.Fprintf(s.Out, "%s: %s %s is good\n", rep.File, rep.Kind, rep.Name)
	if rep.Untried != nil {
		printUntried(s, "faults that no example shows", rep.Untried.Faults)
		printUntried(s, "bands that no example plays in", rep.Untried.Bands)
	}
	fmt.Fprint(s.Out, rep.Limits)
}

func printUntried(s *streams, what string, names []string) {
	if len(names) > 0 {
		fmt.Fprintf(s.Out, "  %s: %s\n", what, strings.Join(names, ", "))
	}
}

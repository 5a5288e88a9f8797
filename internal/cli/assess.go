package cli

import (
	"fmt"
	"io"
	"strings"

	"rootcue/engine"
	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/internal/report"
)

type assessCmd struct {
	Rubric       string   `help:"Judge by this rubric instead of the one each observation names." placeholder:"NAME|FILE"`
	Format       string   `help:"How to answer: text, json or html." enum:"text,json,html" default:"text"`
	Policy       []string `help:"Workload policies in force, with --ledger." placeholder:"NAME|FILE"`
	Ledger       string   `help:"The player's arm ledger, with --policy." placeholder:"LEDGER.csv"`
	Observations []string `arg:"" name:"observation" help:"Observation documents, JSON or NDJSON; - reads standard input."`
}

// Help is the example shown by --help.
func (assessCmd) Help() string {
	return "Example:\n  rootcue assess --format json testdata/observations/off-line.json"
}

// Run judges every document and goes on past bad ones.
func (c *assessCmd) Run(s *streams) error {
	shelf, err := newShelf(c.Rubric)
	if err != nil {
		return err
	}
	arm, err := c.readArm(s)
	if err != nil {
		return err
	}
	run := assessRun{c: c, s: s, shelf: shelf, arm: arm}
	for _, name := range c.Observations {
		in, err := openInput(name, s)
		if err != nil {
			return err
		}
		err = eachDocument(name, in, run.document)
		in.Close()
		if err != nil {
			return err
		}
	}
	if run.bad > 0 {
		return failure{exitInput, fmt.Sprintf("%d of %d observations not judged", run.bad, run.bad+run.good)}
	}
	return nil
}

type assessRun struct {
	c         *assessCmd
	s         *streams
	shelf     *rubricShelf
	arm       *arm
	good, bad int
}

func (r *assessRun) document(d document) error {
	a, problems := r.judge(d)
	if a == nil {
		r.bad++
		for _, p := range problems {
			fmt.Fprintln(r.s.Err, d.place()+p.Summary())
			if p.Hint != "" {
				fmt.Fprintln(r.s.Err, "  = "+p.Hint)
			}
		}
		return nil
	}
	r.good++
	if err := r.print(a); err != nil {
		return cannotRun("%v", err)
	}
	return nil
}

func (d document) place() string {
	if d.line > 0 {
		return fmt.Sprintf("%s:%d: ", d.file, d.line)
	}
	return d.file + ": "
}

func (r *assessRun) judge(d document) (*engine.Assessment, []place.Problem) {
	if d.tooLong {
		return nil, []place.Problem{{Code: "too-long", Found: fmt.Sprintf("a document of more than %d bytes", maxDocument), Wanted: "a shorter one"}}
	}
	o, problems := observation.Decode(d.data)
	if o == nil {
		return nil, problems
	}
	rub, problem := r.shelf.of(o.Rubric)
	if problem != nil {
		return nil, []place.Problem{*problem}
	}
	req := engine.Request{Rubric: rub, Version: 1, Observation: o}
	if r.arm != nil {
		req.Gate = r.arm.gate(o, rub)
	}
	return engine.Assess(req)
}

func (r *assessRun) print(a *engine.Assessment) error {
	switch r.c.Format {
	case "json":
		b, err := a.JSON()
		if err == nil {
			_, err = r.s.Out.Write(b)
		}
		return err
	case "html":
		return report.Page(r.s.Out, a)
	}
	if r.good > 1 {
		if _, err := io.WriteString(r.s.Out, "\n"+strings.Repeat("-", 100)+"\n\n"); err != nil {
			return err
		}
	}
	return report.Text(r.s.Out, a)
}

package cli

import (
	"fmt"
	"os"
	"path"
	"strings"

	"rootcue/engine/civil"
	"rootcue/engine/place"
	"rootcue/engine/workload"
	"rootcue/rubrics"
)

// workloadCmd answers what the rules in force allow an arm on a day.
type workloadCmd struct {
	Policy []string    `required:"" sep:"," placeholder:"NAME" help:"Policies in force, separated by commas: pitch-smart, little-league, elementary-throws, or a file. The strictest answer holds."`
	Age    *int        `help:"Playing age in years."`
	Born   civil.Birth `placeholder:"YYYY-MM" help:"Month of birth, in place of --age; each policy's own cut-off then gives the age."`
	On     civil.Date  `required:"" placeholder:"YYYY-MM-DD" help:"The day asked about."`
	Throws *int        `placeholder:"N" help:"Throws planned that day on top of the ledger: what they would come to."`
	Format string      `enum:"text,json" default:"text" help:"text or json."`
	Ledger string      `arg:"" help:"The ledger, CSV with the columns date,kind,count,game,pain,note; - reads standard input."`
}

// Run prints the answer. Lines of the ledger that are wrong are reported after
// it, and end the program with the code for bad input.
func (c *workloadCmd) Run(s *streams) error {
	policies, err := loadPolicies(c.Policy)
	if err != nil {
		return err
	}
	q := workload.Request{Policies: c.Policy, On: c.On, Born: c.Born, Age: -1, Throws: c.Throws}
	if c.Age != nil {
		q.Age = *c.Age
		if q.Age < 0 || q.Age > 99 {
			return badUsage("--age: found %d, wanted a playing age from 0 to 99 years", q.Age)
		}
	}
	if bad := q.Problems(policies); len(bad) > 0 {
		return badUsage("%s", strings.Join(flagLines(bad), "\n"))
	}
	data, err := readInput(c.Ledger, s)
	if err != nil {
		return err
	}
	ledger, problems := workload.ReadCSV(c.Ledger, data, c.On)
	q.Ledger = ledger
	if err := c.print(s, workload.Judge(q, policies)); err != nil {
		return err
	}
	if len(problems) > 0 {
		return badInput("%s: slips in the ledger (%d); the answer rests on what could be read\n%s", c.Ledger, len(problems), rendered(place.Cap(problems), data))
	}
	return nil
}

func (c *workloadCmd) print(s *streams, a workload.Answer) error {
	if c.Format == "json" {
		return printJSON(s.Out, a)
	}
	return printLines(s.Out, workloadText(a))
}

// readLedger reads a ledger as of a day; - is standard input. The good lines
// are kept beside the problems.
func readLedger(file string, on civil.Date, s *streams) (workload.Ledger, []place.Problem, error) {
	data, err := readInput(file, s)
	if err != nil {
		return workload.Ledger{}, nil, err
	}
	ledger, problems := workload.ReadCSV(file, data, on)
	return ledger, problems, nil
}

// rendered shows the slips of one file.
func rendered(problems []place.Problem, data []byte) string {
	return strings.TrimRight(place.Render(problems, func(string) []byte { return data }), "\n")
}

// loadPolicies finds policies by the names of shipped ones, or by their files.
func loadPolicies(names []string) ([]*workload.Policy, error) {
	var policies []*workload.Policy
	for _, name := range names {
		data, err := policyBytes(name)
		if err != nil {
			return nil, err
		}
		p, problems := workload.Parse(name, data)
		if p == nil {
			return nil, badInput("%s is no usable policy\n%s", name, rendered(problems, data))
		}
		policies = append(policies, p)
	}
	return policies, nil
}

func policyBytes(name string) ([]byte, error) {
	if strings.ContainsAny(name, `./\`) {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, cannotRun("cannot read the policy: %v", err)
		}
		return data, nil
	}
	data, err := rubrics.Files.ReadFile("workload/" + name + ".yaml")
	if err != nil {
		return nil, badUsage("--policy: found %q, wanted one of %s, or a file%s", name, place.List(shippedPolicies()), didYouMean(name, shippedPolicies()))
	}
	return data, nil
}

// shippedPolicies lists the policies that come with the program.
func shippedPolicies() (names []string) {
	entries, err := rubrics.Files.ReadDir("workload")
	if err != nil {
		return nil // the folder is embedded
	}
	for _, e := range entries {
		names = append(names, strings.TrimSuffix(e.Name(), path.Ext(e.Name())))
	}
	return names
}

func didYouMean(word string, known []string) string {
	if near := place.Nearest(word, known); near != "" {
		return fmt.Sprintf("; did you mean %q?", near)
	}
	return ""
}

// flagLines is a line for each slip of a request, in the words of the flags.
func flagLines(problems []place.Problem) []string {
	lines := make([]string, len(problems))
	for i, p := range problems {
		lines[i] = fmt.Sprintf("--%s: found %s, wanted %s", strings.TrimPrefix(p.Pointer, "/"), p.Found, p.Wanted)
		if p.Hint != "" {
			lines[i] += " (" + p.Hint + ")"
		}
	}
	return lines
}

package cli

import (
	"rootcue/api"
	"rootcue/engine/rubric"
	"rootcue/engine/workload"
)

type schemaCmd struct {
	Document string `arg:"" enum:"rubric,observation,assessment,policy" help:"Which document: rubric, observation, assessment or policy."`
	Format   string `help:"text or json; the schema is JSON either way." enum:"text,json" default:"json"`
}

// Help is the example shown by --help.
func (schemaCmd) Help() string {
	return "Example:\n  rootcue schema rubric > rubric.schema.json"
}

// Run prints the schema.
func (c *schemaCmd) Run(s *streams) error {
	var b []byte
	switch c.Document {
	case "rubric":
		b = rubric.Schema()
	case "policy":
		b = workload.Schema()
	case "observation":
		b = api.ObservationSchema()
	default:
		b = api.AssessmentSchema()
	}
	_, err := s.Out.Write(b)
	return err
}

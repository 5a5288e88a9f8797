package cli

import (
	"rootcue/internal/report"
)

// sheetCmd prints the field sheet of a rubric.
type sheetCmd struct {
	Format string `help:"How to answer: text, json or html, a page to print." enum:"text,json,html" default:"text"`
	Rubric string `arg:"" help:"A shipped rubric's name or a rubric file."`
}

// Help is the example shown by --help.
func (sheetCmd) Help() string {
	return "Example:\n  rootcue sheet --format html throw-to-second > sheet.html"
}

// Run prints where cameras stand, which view shows which item, which moments
// to mark, and a form.
func (c *sheetCmd) Run(s *streams) error {
	r, err := loadRubric(c.Rubric)
	if err != nil {
		return err
	}
	sheet := report.NewFieldSheet(r)
	switch c.Format {
	case "json":
		return printJSON(s.Out, sheet)
	case "html":
		err = sheet.HTML(s.Out)
	default:
		err = sheet.Text(s.Out)
	}
	if err != nil {
		return cannotRun("cannot write the sheet: %v", err)
	}
	return nil
}

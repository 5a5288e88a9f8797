package report

import (
	_ "embed"
	"html/template"
	"io"
)

//go:embed sheet.html
var sheetHTML string

var sheetPage = template.Must(template.New("sheet").Funcs(template.FuncMap{
	"reps": func() []int {
		n := make([]int, sheetReps)
		for i := range n {
			n[i] = i + 1
		}
		return n
	},
}).Parse(sheetHTML))

// HTML writes the field sheet as one page to print, with no outside parts.
func (f *FieldSheet) HTML(out io.Writer) error { return sheetPage.Execute(out, f) }

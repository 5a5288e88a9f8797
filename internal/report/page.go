package report

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"io"

	"rootcue/engine"
)

var (
	//go:embed page.html
	pageHTML string
	//go:embed page.css
	pageCSS string

	pageTemplate = template.Must(template.New("page").Funcs(template.FuncMap{
		"say": func(w words, key string) string { return w.say(key) },
	}).Parse(pageHTML))
)

// ContentSecurityPolicy is what a report page needs: its one style element, by
// hash, and nothing else. The page states it itself; a server that sends it as
// a header adds who may embed the page.
var ContentSecurityPolicy = "default-src 'none'; style-src 'sha256-" + styleHash() + "'; base-uri 'none'; form-action 'none'"

func styleHash() string {
	sum := sha256.Sum256([]byte(pageCSS))
	return base64.StdEncoding.EncodeToString(sum[:])
}

// Page writes the report of an assessment alone, in English: one HTML file
// that needs no other.
func Page(w io.Writer, a *engine.Assessment) error { return Write(w, Input{Assessment: a}) }

// Write writes a report with all that is known beside the assessment: one HTML
// page without script whose style stands in it, for browsers under
// ContentSecurityPolicy. The only error besides w's own is a language that the
// report does not come in.
func Write(w io.Writer, in Input) error {
	v, err := newView(in)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := pageTemplate.Execute(&b, v.page()); err != nil {
		return err
	}
	_, err = w.Write(b.Bytes())
	return err
}

package report

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"regexp"
	"strings"
)

// BundlePolicy is what a bundle needs: the reports' style, by hash, and the
// server's own style sheets for the breaks between them.
var BundlePolicy = "default-src 'none'; style-src 'self' 'sha256-" + styleHash() + "'; img-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

var bundleTemplate = template.Must(template.New("bundle").Parse(`<!DOCTYPE html>
<html lang="{{.Lang}}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="robots" content="noindex">
<title>{{.Title}}</title>
<link rel="icon" href="{{.Icon}}">
<style>{{.CSS}}</style>
<link rel="stylesheet" href="{{.Sheet}}">
</head>
<body>
<main>
{{range .Bodies}}<article class="one">{{.}}</article>
{{end}}{{if not .Bodies}}<h1>{{.Title}}</h1>{{end}}</main>
</body>
</html>
`))

// Bundle writes several reports as one page to print, each on a sheet of its
// own. sheet is the address of the style sheet that breaks between articles of
// class one, icon that of the page's icon.
func Bundle(w io.Writer, lang, title, sheet, icon string, reports []Input) error {
	bodies := make([]template.HTML, len(reports))
	for i, in := range reports {
		var b bytes.Buffer
		if err := Write(&b, in); err != nil {
			return err
		}
		bodies[i] = template.HTML(inBundle(i+1, b.String())) // the report escaped what is in it
	}
	return bundleTemplate.Execute(w, struct {
		Lang, Title, Sheet, Icon string
		CSS                      template.CSS
		Bodies                   []template.HTML
	}{lang, title, sheet, icon, template.CSS(pageCSS), bodies})
}

var named = regexp.MustCompile(`( id="| href="#|url\(#)`)

// landmark is a section's name: with many reports on a page, sections are no
// landmarks, since twenty of one name help nobody find the way.
var landmark = regexp.MustCompile(`(<section[^>]*) aria-labelledby="[^"]+"`)

var saidBy = regexp.MustCompile(` aria-(labelledby|describedby)="[^"]+"`)

// inBundle is the body of a report with the ids made its own, so that several
// can stand on one page.
func inBundle(n int, page string) string {
	_, body, _ := strings.Cut(page, "<body>")
	body, _, _ = strings.Cut(body, "</body>")
	prefix := fmt.Sprintf("r%d-", n)
	body = named.ReplaceAllString(body, "${1}"+prefix)
	body = landmark.ReplaceAllString(body, "$1")
	body = saidBy.ReplaceAllStringFunc(body, func(attribute string) string {
		at := strings.Index(attribute, `"`) + 1
		return attribute[:at] + prefix + strings.ReplaceAll(attribute[at:], " ", " "+prefix)
	})
	return strings.NewReplacer("<main>", "<div>", "</main>", "</div>").Replace(body)
}

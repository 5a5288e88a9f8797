// Package pages writes the pages that people work with: what an evaluator
// enters, what an instructor reviews and edits, and the boards for a meeting.
// It holds templates, texts and plain data; who may see what is decided
// elsewhere.
package pages

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/json"
	"errors"
	"html/template"
	"io"
	"io/fs"
	"maps"
	"net/url"
	"strings"
	"sync"

	"rootcue/internal/report/picture"
)

//go:embed *.html
var files embed.FS

// Policy is the Content-Security-Policy of every page: this server's own files
// and nothing else, in no other page's frame.
const Policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// A Frame is what stands around every page.
type Frame struct {
	Lang   string // one of Languages
	Page   string // the page's name, that of its template
	Path   string // its address without the query
	Query  url.Values
	About  string // what the title names besides the page; "" for nothing
	Club   string // the club signed in to; "" when nobody is
	Role   string
	CSRF   string // sent back by every form
	Links  []Link // to the pages that the role may open
	Script string // the page's script in /static; "" for none
	Demo   bool   // an invented club
}

// In is the address of the page in a language.
func (f Frame) In(lang string) string {
	query := url.Values{}
	maps.Copy(query, f.Query)
	query.Set("lang", lang)
	return f.Path + "?" + query.Encode()
}

// A Link leads to a page by its name in the catalogue.
type Link struct{ Page, Path string }

// A view is what a template gets.
type view struct {
	Frame
	D any
}

// Write writes a page; data is of the type that its template shows.
func Write(w io.Writer, f Frame, data any) error {
	var b bytes.Buffer
	if err := templates()[f.Lang].ExecuteTemplate(&b, f.Page+".html", view{f, data}); err != nil {
		return err
	}
	_, err := b.WriteTo(w)
	return err
}

// templates are the pages in each language, read when the first is wanted: a
// command that shows none need not wait for them.
var templates = sync.OnceValue(func() map[string]*template.Template {
	all := map[string]*template.Template{}
	for _, lang := range Languages() {
		t := template.New("").Funcs(template.FuncMap{
			"say":      func(key string, pairs ...string) string { return Say(lang, key, pairs...) },
			"words":    func(page string) template.JS { return scriptWords(lang, page) },
			"langs":    Languages,
			"ended":    ended,
			"join":     strings.Join,
			"draw":     func(id string, d picture.Drawing, title string) drawing { return drawing{d, id, title, ""} },
			"chart":    func(id string, d picture.Drawing, title, says string) drawing { return drawing{d, id, title, says} },
			"noscript": func(page string) string { return noscript(lang, page) },
		})
		all[lang] = template.Must(t.ParseFS(files, "*.html"))
	}
	return all
})

// Edition differs whenever a page of this program is written otherwise than by
// another's: it is a hash of all templates and texts.
var Edition = sync.OnceValue(func() string {
	sum := sha256.New()
	sum.Write(textsYAML)
	all, err := fs.Glob(files, "*.html")
	for _, name := range all {
		text, readErr := files.ReadFile(name)
		err = errors.Join(err, readErr)
		sum.Write(text)
	}
	if err != nil {
		panic("pages: " + err.Error()) // they are in the program
	}
	return base64.RawURLEncoding.EncodeToString(sum.Sum(nil)[:9])
})

// drawing is a picture with its id, title and description.
type drawing struct {
	picture.Drawing
	ID, Title, Says string
}

// ended is a sentence with a stop at its end.
func ended(s string) string {
	if s == "" || strings.HasSuffix(s, ".") || strings.HasSuffix(s, "!") || strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}

// noscript says what a page cannot do without its script.
func noscript(lang, page string) string {
	if key := "noscript." + page; catalogue[key] != nil {
		return Say(lang, key)
	}
	return Say(lang, "noscript")
}

// scriptWords are the texts that a page's script says, as a JSON object.
func scriptWords(lang, page string) template.JS {
	texts := map[string]string{}
	for key := range catalogue {
		for _, of := range []string{"js.all.", "js." + page + "."} {
			if short, ok := strings.CutPrefix(key, of); ok {
				texts[short] = Say(lang, key)
			}
		}
	}
	b, _ := json.Marshal(texts) // strings are always JSON; < > & are escaped
	return template.JS(b)
}

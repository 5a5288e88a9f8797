package api_test

import (
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"rootcue/api"
)

// A scenario is one file of testdata/api: a request and what must come back.
//
//	-- request --   method and path, then header fields
//	-- body --      left out where there is none
//	-- answer --    status and media type, then any of
//	   type /problems/not-valid    the problem's type
//	   slip /player/age            a slip whose place starts so
//	   header Allow POST           a header field that starts so
//	   contains TEXT, lacks TEXT   of the body
func TestScenarios(t *testing.T) {
	files, err := filepath.Glob("../testdata/api/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no scenarios (%v)", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) { runScenario(t, file) })
	}
}

func runScenario(t *testing.T, file string) {
	archive, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	parts := map[string]string{}
	for _, f := range archive.Files {
		parts[f.Name] = string(f.Data)
	}
	lines := strings.Split(strings.TrimSpace(parts["request"]), "\n")
	method, target, _ := strings.Cut(lines[0], " ")
	r := httptest.NewRequest(method, target, strings.NewReader(strings.TrimSuffix(parts["body"], "\n")))
	for _, line := range lines[1:] {
		name, value, _ := strings.Cut(line, ": ")
		r.Header.Add(name, value)
	}
	w := send(t, plainServer(), r)
	if w.Code >= 500 {
		t.Errorf("a client's mistake is answered %d", w.Code)
	}
	expect(t, w, strings.Split(strings.TrimSpace(parts["answer"]), "\n"))
	if t.Failed() {
		t.Log(cut(w.Body.String()))
	}
}

func expect(t *testing.T, w *httptest.ResponseRecorder, lines []string) {
	status, media, _ := strings.Cut(lines[0], " ")
	if got := strconv.Itoa(w.Code); got != status {
		t.Errorf("status %s, wanted %s", got, status)
	}
	if got := w.Header().Get("Content-Type"); !strings.HasPrefix(got, media) {
		t.Errorf("media type %q, wanted %q", got, media)
	}
	body := w.Body.String()
	for _, line := range lines[1:] {
		word, want, _ := strings.Cut(line, " ")
		switch word {
		case "type":
			if got := problem(t, w).Type; got != want {
				t.Errorf("type %q, wanted %q", got, want)
			}
		case "slip":
			if p := problem(t, w); !slices.ContainsFunc(p.Errors, func(s api.Slip) bool { return strings.HasPrefix(s.Pointer, want) && s.Found != "" && s.Wanted != "" }) {
				t.Errorf("no slip at %s in %+v", want, p.Errors)
			}
		case "header":
			name, value, _ := strings.Cut(want, " ")
			if got := strings.Join(w.Header()[http.CanonicalHeaderKey(name)], ", "); !strings.Contains(got, value) {
				t.Errorf("header %s is %q, wanted %q", name, got, value)
			}
		case "contains":
			if !strings.Contains(body, want) {
				t.Errorf("the body lacks %q", want)
			}
		case "lacks":
			if strings.Contains(body, want) {
				t.Errorf("the body holds %q", want)
			}
		default:
			t.Fatalf("cannot read the line %q", line)
		}
	}
}

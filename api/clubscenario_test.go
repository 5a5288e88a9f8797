package api_test

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/rogpeppe/go-internal/txtar"

	"rootcue/internal/store/storetest"
)

// A club scenario is one file of testdata/api/club: requests one after the
// other to two new clubs, and what must come back. It is run on both databases.
//
//	-- 1 request --  method and path, then header fields; As: names the key,
//	                 such as edit, or other-edit of the second club
//	-- 1 body --     left out where there is none
//	-- 1 answer --   as in a scenario (see runScenario), and
//	   keep NAME /pointer   a string of the answer, for later requests as {NAME}
//	   tag NAME             the answer's ETag, likewise
//	   is /pointer VALUE    a value of the answer, as JSON
func TestClubScenarios(t *testing.T) {
	files, err := filepath.Glob("../testdata/api/club/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no scenarios (%v)", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) {
			t.Run("embedded", func(t *testing.T) { runClubScenario(t, embeddedServer(t), file) })
			t.Run("PostgreSQL", func(t *testing.T) { runClubScenario(t, newClubServer(t, storetest.Postgres(t)), file) })
		})
	}
}

func runClubScenario(t *testing.T, s *clubServer, file string) {
	archive, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	parts := map[string]string{}
	for _, f := range archive.Files {
		parts[f.Name] = string(f.Data)
	}
	kept := map[string]string{}
	fill := func(text string) string {
		for name, value := range kept {
			text = strings.ReplaceAll(text, "{"+name+"}", value)
		}
		return text
	}
	steps := 0
	for n := 1; parts[fmt.Sprint(n, " request")] != ""; n++ {
		steps++
		lines := strings.Split(strings.TrimSpace(fill(parts[fmt.Sprint(n, " request")])), "\n")
		method, target, _ := strings.Cut(lines[0], " ")
		as, header := "", []string{}
		for _, line := range lines[1:] {
			name, value, _ := strings.Cut(line, ": ")
			if name == "As" {
				as = value
				continue
			}
			header = append(header, name, value)
		}
		w := s.ask(t, as, method, target, strings.TrimSuffix(fill(parts[fmt.Sprint(n, " body")]), "\n"), header...)
		body := w.Body.Bytes()
		var plain []string
		for _, line := range strings.Split(strings.TrimSpace(fill(parts[fmt.Sprint(n, " answer")])), "\n") {
			word, rest, _ := strings.Cut(line, " ")
			name, pointer, _ := strings.Cut(rest, " ")
			switch word {
			case "keep":
				value := at(t, body, pointer)
				if !strings.HasPrefix(value, `"`) {
					t.Fatalf("step %d: %s is %s, wanted a string to keep", n, pointer, value)
				}
				kept[name] = strings.Trim(value, `"`)
			case "tag":
				kept[name] = w.Header().Get("ETag")
			case "is":
				if got := at(t, body, name); got != pointer {
					t.Errorf("step %d: %s is %s, wanted %s", n, name, got, pointer)
				}
			default:
				plain = append(plain, line)
			}
		}
		expect(t, w, plain)
		if w.Code >= 500 {
			t.Errorf("step %d: a client's mistake is answered %d", n, w.Code)
		}
		if t.Failed() {
			t.Fatalf("step %d: %s", n, cut(w.Body.String()))
		}
	}
	if have := len(slices.Collect(answersOf(parts))); have != steps || steps == 0 {
		t.Fatalf("%d steps of %d were run", steps, have)
	}
}

// answersOf lists the answers of a scenario.
func answersOf(parts map[string]string) func(func(string) bool) {
	return func(yield func(string) bool) {
		for name := range parts {
			if strings.HasSuffix(name, " answer") && !yield(name) {
				return
			}
		}
	}
}

// at is the value at a JSON Pointer, in its shortest form; "nothing" without one.
func at(t testing.TB, body []byte, pointer string) string {
	t.Helper()
	var v any
	if err := json.Unmarshal(body, &v); err != nil {
		t.Fatalf("the answer is no JSON: %v\n%s", err, cut(string(body)))
	}
	for name := range jsontext.Pointer(pointer).Tokens() {
		switch in := v.(type) {
		case map[string]any:
			inner, ok := in[name]
			if !ok {
				return "nothing"
			}
			v = inner
		case []any:
			var i int
			if _, err := fmt.Sscan(name, &i); err != nil || i >= len(in) {
				return "nothing"
			}
			v = in[i]
		default:
			return "nothing"
		}
	}
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

package api_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http/httptest"
	"strings"
	"testing"

	"rootcue/api"
)

func zip(t testing.TB, b []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	if _, err := z.Write(b); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func example(t testing.TB, name string) []byte {
	t.Helper()
	b, ok := api.Example(name, "application/json")
	if !ok {
		t.Fatalf("no example %s", name)
	}
	return b
}

// Bodies too large, packed, torn or hostile.
func TestBodies(t *testing.T) {
	good := example(t, "assess.request")
	bomb := zip(t, bytes.Repeat([]byte(" "), 64<<20))
	if len(bomb) > 1<<20 {
		t.Fatalf("the bomb has %d bytes: the limit on packed bytes would stop it, not the one on unpacked", len(bomb))
	}
	cases := []struct {
		name     string
		body     []byte
		encoding string
		chunked  bool // the length is not announced
		status   int
		kind     string
	}{
		{"plain", good, "", false, 200, ""},
		{"chunked", good, "", true, 200, ""},
		{"identity", good, "identity", false, 200, ""},
		{"gzip", zip(t, good), "gzip", false, 200, ""},
		{"gzip in capitals", zip(t, good), "GZIP", false, 200, ""},
		{"said to be gzip", good, "gzip", false, 400, "not-json"},
		{"gzip torn", zip(t, good)[:80], "gzip", false, 400, "not-json"},
		{"gzip empty", nil, "gzip", false, 400, "not-json"},
		{"gzip bomb", bomb, "gzip", false, 413, "too-large"},
		{"another packing", good, "br", false, 415, "media-type"},
		{"two packings", zip(t, zip(t, good)), "gzip, gzip", false, 415, "media-type"},
		{"announced too large", bytes.Repeat([]byte("["), 2<<20), "", false, 413, "too-large"},
		{"too large unannounced", bytes.Repeat([]byte("["), 2<<20), "", true, 413, "too-large"},
		{"one byte too many", append(bytes.Repeat([]byte(" "), 1<<20-len(good)+1), good...), "", true, 413, "too-large"},
		{"just large enough", append(bytes.Repeat([]byte(" "), 1<<20-len(good)), good...), "", false, 200, ""},
		{"a million brackets", bytes.Repeat([]byte("["), 1000000), "", false, 400, "not-json"},
		{"a million objects", bytes.Repeat([]byte(`{"a":`), 200000), "", false, 400, "not-json"},
		{"deep but whole", []byte(strings.Repeat("[", 5000) + strings.Repeat("]", 5000)), "", false, 422, "not-valid"},
		{"bad UTF-8", bytes.Replace(good, []byte("P-0733"), []byte("P-\xff\xfe"), 1), "", false, 400, "not-json"},
		{"half a surrogate", bytes.Replace(good, []byte("P-0733"), []byte(`P-\ud800`), 1), "", false, 400, "not-json"},
		{"a byte order mark", append([]byte("\xef\xbb\xbf"), good...), "", false, 400, "not-json"},
		{"UTF-16", []byte("\xff\xfe{\x00}\x00"), "", false, 400, "not-json"},
		{"zero bytes", make([]byte, 100), "", false, 400, "not-json"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var in io.Reader = bytes.NewReader(c.body)
			if c.chunked {
				in = io.MultiReader(in)
			}
			r := httptest.NewRequest("POST", "/v1/assess", in)
			r.Header.Set("Content-Type", "application/json")
			if c.encoding != "" {
				r.Header.Set("Content-Encoding", c.encoding)
			}
			w := send(t, plainServer(), r)
			if w.Code != c.status {
				t.Fatalf("status %d, wanted %d: %s", w.Code, c.status, cut(w.Body.String()))
			}
			if c.status != 200 {
				if got := problem(t, w).Type; got != "/problems/"+c.kind {
					t.Errorf("type %s, wanted %s", got, c.kind)
				}
			}
		})
	}
}

// Every operation that reads a body meets the same rubbish with a problem,
// without a key and with an admin's.
func TestNoBodyBringsDownAnOperation(t *testing.T) {
	rubbish := []string{"", " ", "null", "true", "0", `""`, "[]", "{}", "{", `{"":{}}`, `{"a":1e999}`, `{"a":{"b":[{"c":null}]}}`, "- a\n- b", "\x00", strings.Repeat(`{"a":`, 3000),
		`{"on":{},"reps":{},"player":[],"policy":{},"ledger":{}}`, `{"practice":[],"stations":{},"players":3}`, `{"groups":[{},{}],"events":[{},{}],"limits":[{},{}]}`, `{"groups":["a","a"]}`}
	open, kept := newServer(t, nil), embeddedServer(t)
	for _, r := range kept.Routes {
		if r.Method == "GET" {
			continue
		}
		path := strings.NewReplacer("{", "", "}", "").Replace(r.Path)
		for _, body := range rubbish {
			if w := kept.ask(t, "admin", r.Method, path, body); w.Code >= 500 && w.Code != 503 { // a job is refused: none runs here
				t.Errorf("%s as admin: %q is answered %d: %s", r.ID, cut(body), w.Code, cut(w.Body.String()))
			}
			if r.Role > api.Open {
				continue
			}
			if w := ask(t, open, r.Method, path, body); w.Code >= 500 {
				t.Errorf("%s: %q is answered %d: %s", r.ID, cut(body), w.Code, cut(w.Body.String()))
			}
		}
	}
}

package api_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"

	"rootcue/api"
)

func TestETag(t *testing.T) {
	first := ask(t, plainServer(), "GET", "/v1/rubrics", "")
	tag := first.Header().Get("ETag")
	if tag == "" {
		t.Fatal("a read has no ETag")
	}
	for _, field := range []string{tag, "W/" + tag, `"other", ` + tag, "*"} {
		w := ask(t, plainServer(), "GET", "/v1/rubrics", "", "If-None-Match", field)
		if w.Code != http.StatusNotModified || w.Body.Len() != 0 || w.Header().Get("ETag") != tag {
			t.Errorf("If-None-Match %s: status %d, %d bytes, ETag %s", field, w.Code, w.Body.Len(), w.Header().Get("ETag"))
		}
	}
	if w := ask(t, plainServer(), "GET", "/v1/rubrics", "", "If-None-Match", `"other"`); w.Code != 200 {
		t.Errorf("another tag: status %d", w.Code)
	}
	if w := ask(t, plainServer(), "POST", "/v1/assess", string(example(t, "assess.request"))); w.Header().Get("ETag") != "" {
		t.Error("an answer to POST has an ETag")
	}
	yaml := ask(t, plainServer(), "GET", "/v1/rubrics/receiving", "", "Accept", "application/yaml").Header().Get("ETag")
	json := ask(t, plainServer(), "GET", "/v1/rubrics/receiving", "").Header().Get("ETag")
	if yaml == json {
		t.Error("two forms have one ETag")
	}
}

func TestCompressedAnswer(t *testing.T) {
	plain := ask(t, plainServer(), "GET", "/openapi.json", "")
	for field, packed := range map[string]bool{"gzip": true, "br, gzip;q=0.5": true, "GZIP": true, "gzip;q=0": false, "gzip; q=0.0": false, "br": false, "gzip;q=x": false} {
		w := ask(t, plainServer(), "GET", "/openapi.json", "", "Accept-Encoding", field)
		if got := w.Header().Get("Content-Encoding") == "gzip"; got != packed {
			t.Errorf("Accept-Encoding %s: packed %v", field, got)
			continue
		}
		if !strings.Contains(strings.Join(w.Header().Values("Vary"), ","), "Accept-Encoding") {
			t.Errorf("no Vary: Accept-Encoding for %s", field)
		}
		if w.Header().Get("Content-Length") != strconv.Itoa(w.Body.Len()) {
			t.Errorf("Content-Length %s for %d bytes", w.Header().Get("Content-Length"), w.Body.Len())
		}
		if !packed {
			continue
		}
		z, err := gzip.NewReader(w.Body)
		if err != nil {
			t.Fatal(err)
		}
		if b, err := io.ReadAll(z); err != nil || !bytes.Equal(b, plain.Body.Bytes()) {
			t.Errorf("unpacked, the answer differs (%v)", err)
		}
		if tag := w.Header().Get("ETag"); tag != "W/"+plain.Header().Get("ETag") {
			t.Errorf("the packed answer has the ETag %s", tag)
		}
	}
	if w := ask(t, plainServer(), "GET", "/healthz", "", "Accept-Encoding", "gzip"); w.Header().Get("Content-Encoding") != "" {
		t.Error("15 bytes were packed")
	}
}

// HEAD on every GET: the same header, no body.
func TestHead(t *testing.T) {
	s := newServer(t, func(o *api.Options) { o.Demo = true })
	for _, r := range s.Routes {
		if r.Method != "GET" || r.ID == "metrics" || r.Role > api.Open {
			continue
		}
		get := exampleRequest(t, r)
		head := get.Clone(get.Context())
		head.Method = "HEAD"
		full, none := send(t, s, get), send(t, s, head)
		if none.Code != full.Code || none.Body.Len() != 0 || none.Header().Get("Content-Length") != full.Header().Get("Content-Length") || none.Header().Get("ETag") != full.Header().Get("ETag") {
			t.Errorf("HEAD %s: status %d, %d bytes, header %v; GET has %d and %v", r.Path, none.Code, none.Body.Len(), none.Header(), full.Code, full.Header())
		}
	}
}

func TestSameTag(t *testing.T) {
	for _, c := range []struct {
		field, tag string
		same       bool
	}{
		{`"a"`, `"a"`, true}, {`"a", "b"`, `"b"`, true}, {`W/"a"`, `"a"`, true}, {`"a"`, `W/"a"`, true}, {"*", `"a"`, true},
		{"", `"a"`, false}, {`"b"`, `"a"`, false}, {`a`, `"a"`, false}, {",", `"a"`, false},
	} {
		if got := api.SameTag(c.field, c.tag); got != c.same {
			t.Errorf("SameTag(%s, %s) = %v", c.field, c.tag, got)
		}
	}
}

// The examples of RFC 9110, 12.5.1, and what follows from its rules.
func TestPrefer(t *testing.T) {
	types := []string{"application/json", "application/yaml"}
	for _, c := range []struct{ accept, want string }{
		{"", "application/json"}, {"*/*", "application/json"}, {"application/*", "application/json"},
		{"application/yaml", "application/yaml"}, {"text/html, application/yaml;q=0.1", "application/yaml"},
		{"application/json;q=0.5, application/yaml", "application/yaml"}, {"application/yaml;q=0.5, */*;q=0.8", "application/json"},
		{"application/json;q=0, */*", "application/yaml"}, {"text/*, text/plain, text/plain;format=flowed", ""},
		{"*/*;q=0", ""}, {"APPLICATION/YAML", "application/yaml"}, {"application/json;q=2", ""}, {"application/yaml; charset=utf-8; q=0.3", "application/yaml"},
	} {
		if got := api.Prefer(c.accept, types); got != c.want {
			t.Errorf("Accept %q prefers %q, wanted %q", c.accept, got, c.want)
		}
	}
}

// An answer that is flushed goes out as it comes, and a handler that fails
// after that cuts the connection: nobody takes half for the whole.
func TestFlushedAnswer(t *testing.T) {
	var log bytes.Buffer
	s := newServer(t, func(o *api.Options) { o.Log = slog.New(slog.NewJSONHandler(&log, nil)) })
	addStream(s)
	server := httptest.NewServer(s)
	defer server.Close()
	res, err := http.Get(server.URL + "/test/stream")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if string(body) != "first\n" || err == nil {
		t.Errorf("read %q, error %v: wanted the first line and a broken connection", body, err)
	}
	if res.Header.Get("Content-Length") != "" || res.Header.Get("ETag") != "" {
		t.Errorf("a stream has the header %v", res.Header)
	}
	server.Close() // and with it the request
	if !strings.Contains(log.String(), `"route":"/test/stream"`) {
		t.Errorf("the log does not tell of the request: %s", &log)
	}
	w := httptest.NewRecorder()
	s.MetricsHandler().ServeHTTP(w, httptest.NewRequest("GET", "/metrics", nil))
	if !strings.Contains(w.Body.String(), "rootcue_requests_in_flight 0\n") || !strings.Contains(w.Body.String(), `rootcue_requests_total{method="GET",route="/test/stream",status="200"} 1`) {
		t.Errorf("the metrics do not count it, or hold it for under way: %s", w.Body)
	}
}

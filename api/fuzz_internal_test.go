package api

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"slices"
	"strings"
	"testing"

	"rootcue/engine/shape"
	"rootcue/internal/report/pages"
)

// A body is read into a value that encoding/json reads too, or refused by a
// reason that names no type of ours.
func FuzzReadJSON(f *testing.F) {
	for _, s := range []string{`{"url": "https://club.example", "events": []}`, `{"url": 1e999}`, `{"a": 1, "a": 2}`, "{} {}", "\xff", `{"url": "\ud800"}`, "[[[[[[", "null"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		var any any
		err := readJSON(body, &any)
		if err == nil && !json.Valid(body) {
			t.Fatalf("taken: %q", body)
		}
		var into struct {
			URL    string   `json:"url"`
			Events []string `json:"events"`
			Days   int      `json:"days"`
			Weight float64  `json:"weight"`
		}
		if err := readJSON(body, &into); err != nil && strings.Contains(err.Error(), "struct") {
			t.Fatalf("tells of its inside: %v", err)
		}
	})
}

// A document flattened reads the same as YAML as it does as JSON, and each of
// its tokens keeps its pointer.
func FuzzFlat(f *testing.F) {
	for _, s := range []string{"{\n\t\"a\"\n:\t{\"b~/c\": [1, \"sch\\u00fcler \\ud83d\\ude00\", {\"d\": true}]}, \"e\": null}", `[1e5, -0, 0.1, "a: b", "#", "\u2028"]`, `"\u0000"`, `{"\u0085": "- a"}`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		flat, err := readFlat(body)
		if err != nil {
			var p *Problem
			if !errors.As(err, &p) || p.Status != http.StatusBadRequest || len(p.Errors) == 0 {
				t.Fatalf("refused by %v", err)
			}
			return
		}
		if bytes.ContainsAny(flat, "\n\r") || !json.Valid(flat) {
			t.Fatalf("flat is %q", flat)
		}
		_, slips := shape.Read("", flat)
		for _, s := range flat.pointed(slips) {
			if s.Code == "" || s.Found == "" || s.Line != 0 {
				t.Fatalf("slip %+v", s)
			}
		}
	})
}

// What is negotiated from a header field is one of what there is, however the
// field is written.
func FuzzFields(f *testing.F) {
	for _, s := range []string{"", "*/*;q=0.1, text/html", "application/json;q=NaN", "gzip;q=0, *", `W/"a", *`, "de-CH, en;q=0.9", ";;;,", "text/html;q=1e309"} {
		f.Add(s, s)
	}
	types := []string{"application/json", "text/html; charset=utf-8"}
	f.Fuzz(func(t *testing.T, field, tag string) {
		if got := Prefer(field, types); got != "" && !slices.Contains(types, got) {
			t.Fatalf("Accept %q gives %q", field, got)
		}
		if got := pages.Language(field); !slices.Contains(pages.Languages(), got) {
			t.Fatalf("Accept-Language %q gives %q", field, got)
		}
		if takesGzip(field) && !strings.Contains(strings.ToLower(field), "gzip") {
			t.Fatalf("Accept-Encoding %q takes gzip", field)
		}
		if SameTag(field, `"tag"`) && !strings.Contains(field, `"tag"`) && !strings.Contains(field, "*") {
			t.Fatalf("If-Match %q fits", field)
		}
		if goodIdempotencyKey.MatchString(field) && strings.ContainsAny(field, " \r\n\x00") || saneID.MatchString(field) && len(field) > 64 {
			t.Fatalf("taken: %q", field)
		}
		if next := ownPath(field); !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") || strings.ContainsAny(next, "\\\r\n") {
			t.Fatalf("%q leads to %q", field, next)
		}
	})
}

// A packed body gives what gzip gives, at most as much as it may hold, or says
// what is wrong.
func FuzzPacked(f *testing.F) {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, _ = w.Write(bytes.Repeat([]byte("0123456789"), 500)) // into memory
	_ = w.Close()
	f.Add(b.Bytes())
	f.Add(b.Bytes()[:b.Len()/2])
	f.Add(append(b.Bytes(), b.Bytes()...))
	f.Fuzz(func(t *testing.T, body []byte) {
		const most = 4096
		got, err := io.ReadAll(&unzipped{below: io.NopCloser(bytes.NewReader(body)), left: most, most: most})
		if len(got) > most {
			t.Fatalf("%d bytes of at most %d", len(got), most)
		}
		if err != nil {
			if status := failed(err).Status; status != http.StatusBadRequest && status != http.StatusRequestEntityTooLarge {
				t.Fatalf("%v answers %d", err, status)
			}
			return
		}
		plain, err := gzip.NewReader(bytes.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		if want, err := io.ReadAll(plain); err != nil || !bytes.Equal(got, want) {
			t.Fatalf("%d bytes, gzip has %d, %v", len(got), len(want), err)
		}
	})
}

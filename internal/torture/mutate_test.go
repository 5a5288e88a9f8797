package torture_test

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"net/url"
	"slices"
	"strings"
	"unicode/utf16"
)

// odd are texts that have broken programs before: boundaries, other alphabets,
// and words of the languages that text passes through.
var odd = []string{
	"", " ", "0", "-1", "1e999", "NaN", "Infinity", "9223372036854775808", "-9223372036854775809", "0x10", "1,5", "true", "null", "[]", "{}",
	"../../etc/passwd", "..%2f..%2fetc%2fpasswd", "..\\..\\windows", "/etc/passwd", "file:///etc/passwd", "C:\\con", "a/b", "a%2Fb", ".", "..", "%00", "%", "%zz", "%c0%ae",
	"\x00", "\n", "\r\nX-Injected: yes", "\r\n\r\nHTTP/1.1 200 OK", "\u202e", "\ufeff", "é", "e\u0301", "ﬀ", "𝒳", "👩‍👩‍👧", "\xff\xfe", "\xc3\x28", "\xed\xa0\x80",
	"' OR '1'='1", "'; DROP TABLE players; --", "\" OR 1=1 --", "$1", "?", "%s%n%d", "{{7*7}}", "${7*7}", "<script>alert(1)</script>", "javascript:alert(1)", "=1+1", "@SUM(A1)", "+cmd|' /C calc'!A0",
	"(a+)+$", "2026-02-30", "2026-13-01", "0000-00-00", "9999-12-31", "10000-01-01", "2026-05-09T00:00:00Z", "-", "*", "W/\"x\"", strings.Repeat("A", 300), strings.Repeat("é", 5000), strings.Repeat("[", 2000), strings.Repeat("a,", 3000),
}

// values are such in JSON.
var values = []string{
	"null", "true", "0", "-0", "-1", "1e308", "1e309", "-1e309", "1e-400", "9007199254740993", "9223372036854775808", "0.1", `""`, `"\u0000"`, `"\ud800"`, `"2026-02-30"`, "[]", "{}", "[[]]", `[null]`, `{"": 0}`, `{"a": {"a": {"a": {}}}}`,
	`"` + strings.Repeat("x", 10000) + `"`, "[" + strings.Repeat("0,", 5000) + "0]", strings.Repeat("[", 5000) + strings.Repeat("]", 5000), strings.Repeat(`{"a":`, 3000) + "1" + strings.Repeat("}", 3000),
	`{"value": 61, "u": -2, "unit": "cm"}`, `{"value": 61, "unit": "furlong"}`, `"=1+1"`, `"../x"`,
}

// mutate changes a body a little, or a lot.
func mutate(chance *rand.Rand, body, media string) string {
	for range 1 + chance.IntN(3) {
		var doc any
		if strings.Contains(media, "json") && chance.IntN(4) > 0 && json.Unmarshal([]byte(body), &doc) == nil {
			body = change(chance, doc)
			continue
		}
		body = scratch(chance, body)
	}
	return body
}

// change puts an odd value in some place of a document, or takes the place out.
func change(chance *rand.Rand, doc any) string {
	places := 0
	replace(doc, &places, -1)
	at := chance.IntN(places)
	places = 0
	out, err := json.Marshal(replace(doc, &places, at))
	if err != nil { // it was JSON before
		panic(err)
	}
	return strings.Replace(string(out), `"\u0001"`, values[chance.IntN(len(values))], 1)
}

// replace puts a mark in place number at, and counts the places.
func replace(v any, places *int, at int) any {
	here := *places
	*places++
	if here == at {
		return "\x01"
	}
	switch v := v.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			v[name] = replace(v[name], places, at)
		}
	case []any:
		for i := range v {
			v[i] = replace(v[i], places, at)
		}
	}
	return v
}

// scratch damages bytes.
func scratch(chance *rand.Rand, body string) string {
	b := []byte(body)
	at := func() int { return chance.IntN(len(b) + 1) }
	switch chance.IntN(8) {
	case 0:
		return string(b[:at()])
	case 1:
		i := at()
		return string(slices.Insert(b, i, []byte(odd[chance.IntN(len(odd))])...))
	case 2:
		for range 1 + chance.IntN(4) {
			if len(b) > 0 {
				b[chance.IntN(len(b))] = byte(chance.IntN(256))
			}
		}
		return string(b)
	case 3:
		i, j := at(), at()
		return string(b[min(i, j):max(i, j)])
	case 4:
		return body + body
	case 5: // UTF-16 with its mark
		var out bytes.Buffer
		out.WriteString("\xff\xfe")
		for _, u := range utf16.Encode([]rune(body)) {
			out.Write([]byte{byte(u), byte(u >> 8)})
		}
		return out.String()
	case 6:
		return "\ufeff" + body
	}
	return odd[chance.IntN(len(odd))]
}

func pack(body string) string {
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	_, _ = z.Write([]byte(body)) // a bytes.Buffer takes every byte
	_ = z.Close()
	return out.String()
}

// A pool has the ids that operations name, of both clubs.
type pool map[string][]string

// address fills in an operation's path and query.
func (p pool) address(chance *rand.Rand, op operation) string {
	path, query := op.path, url.Values{}
	for _, par := range op.parameters {
		value := p.value(chance, par)
		switch {
		case par.In == "path":
			if path = strings.ReplaceAll(path, "{"+par.Name+"}", url.PathEscape(value)); value == "" {
				path = strings.ReplaceAll(path, "{"+par.Name+"}", "%20")
			}
		case par.In == "query" && chance.IntN(2) == 0:
			query.Add(par.Name, value)
			if chance.IntN(10) == 0 {
				query.Add(par.Name, odd[chance.IntN(len(odd))])
			}
		}
	}
	if chance.IntN(20) == 0 {
		query.Add(odd[chance.IntN(len(odd))], odd[chance.IntN(len(odd))])
	}
	if len(query) > 0 {
		path += "?" + query.Encode()
	}
	return path
}

func (p pool) value(chance *rand.Rand, par parameter) string {
	if known := p[par.Name]; len(known) > 0 && chance.IntN(5) > 0 {
		return known[chance.IntN(len(known))]
	}
	if n := len(par.Schema.Enum); n > 0 && chance.IntN(2) == 0 {
		return par.Schema.Enum[chance.IntN(n)]
	}
	if par.Example != nil && chance.IntN(2) == 0 {
		return fmt.Sprint(par.Example)
	}
	return odd[chance.IntN(len(odd))]
}

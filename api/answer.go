package api

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/gin-gonic/gin"
)

// answer holds an answer back until it is whole: its length, its ETag and a
// 304 in its place can only be known then, and a handler that fails half-way
// leaves nothing behind. An answer that is flushed goes out as it comes.
func (s *Server) answer(c *gin.Context) {
	w := &heldWriter{ResponseWriter: c.Writer, request: c.Request, held: buffers.Get().(*bytes.Buffer)}
	w.held.Reset()
	c.Writer = w
	c.Next()
	w.finish()
	if w.held.Cap() <= 1<<20 {
		buffers.Put(w.held)
	}
}

var buffers = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// A heldWriter collects an answer. Status and header go to the writer below,
// which sends them with the first byte.
type heldWriter struct {
	gin.ResponseWriter
	request *http.Request
	held    *bytes.Buffer
	streams bool
	turn    *turns // the request's, lent while the client reads; nil: it has none
}

func (w *heldWriter) Write(b []byte) (n int, err error) {
	if !w.streams {
		return w.held.Write(b)
	}
	w.turn.lend(func() { n, err = w.ResponseWriter.Write(b) })
	return n, err
}

func (w *heldWriter) WriteString(s string) (int, error) { return w.Write([]byte(s)) }

func (w *heldWriter) WriteHeaderNow() {
	if w.streams {
		w.ResponseWriter.WriteHeaderNow()
	}
}

func (w *heldWriter) Written() bool { return w.streams || w.held.Len() > 0 }

// Size is the bytes of the body so far, before compression.
func (w *heldWriter) Size() int {
	if w.streams {
		return w.ResponseWriter.Size()
	}
	return w.held.Len()
}

// Flush sends what there is, and from then on everything as it is written.
func (w *heldWriter) Flush() {
	if !w.streams {
		w.streams = true
		_, _ = w.ResponseWriter.Write(w.held.Bytes()) // a client gone is told by the next write
		w.held.Reset()
	}
	w.turn.lend(w.ResponseWriter.Flush)
}

// Unwrap lets http.ResponseController reach the connection.
func (w *heldWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// discard forgets an answer begun, for a problem in its place, but for the header
// fields that say the same of any answer.
func (w *heldWriter) discard(but ...string) {
	w.held.Reset()
	maps.DeleteFunc(w.Header(), func(name string, _ []string) bool { return !slices.Contains(but, name) })
}

func (w *heldWriter) finish() {
	if w.streams {
		return
	}
	h, body := w.Header(), w.held.Bytes()
	if w.Status() == http.StatusOK && (w.request.Method == http.MethodGet || w.request.Method == http.MethodHead) {
		if h.Get("ETag") == "" {
			sum := sha256.Sum256(body)
			h.Set("ETag", `"`+base64.RawURLEncoding.EncodeToString(sum[:15])+`"`)
		}
		if SameTag(w.request.Header.Get("If-None-Match"), h.Get("ETag")) {
			w.WriteHeader(http.StatusNotModified)
			h.Del("Content-Type")
			w.ResponseWriter.WriteHeaderNow()
			return
		}
	}
	if len(body) > 0 && squeezable(h.Get("Content-Type")) {
		h.Add("Vary", "Accept-Encoding")
		if len(body) >= 1024 && takesGzip(w.request.Header.Get("Accept-Encoding")) {
			body = squeeze(body, h.Get("Content-Type"))
			h.Set("Content-Encoding", "gzip")
			if tag := h.Get("ETag"); strings.HasPrefix(tag, `"`) {
				h.Set("ETag", "W/"+tag) // same meaning, other bytes
			}
		}
	}
	if bodyAllowed(w.Status()) {
		h.Set("Content-Length", strconv.Itoa(len(body)))
	}
	w.ResponseWriter.WriteHeaderNow()
	if w.request.Method != http.MethodHead && len(body) > 0 {
		_, _ = w.ResponseWriter.Write(body) // the client may be gone; there is nobody to tell
	}
}

func bodyAllowed(status int) bool {
	return status >= 200 && status != http.StatusNoContent && status != http.StatusNotModified
}

// SameTag reports whether an ETag is among those of an If-Match or
// If-None-Match field. Weak and strong tags compare alike: what is stored is
// the same, compressed or not.
func SameTag(field, tag string) bool {
	for one := range strings.SplitSeq(field, ",") {
		one = strings.TrimSpace(one)
		if one == "*" || one != "" && strings.TrimPrefix(one, "W/") == strings.TrimPrefix(tag, "W/") {
			return true
		}
	}
	return false
}

func squeezable(mediaType string) bool {
	return strings.HasPrefix(mediaType, "text/") || strings.Contains(mediaType, "json") || strings.Contains(mediaType, "yaml") || strings.Contains(mediaType, "svg")
}

// takesGzip reads Accept-Encoding (RFC 9110, 12.5.3); q=0 refuses.
func takesGzip(field string) bool {
	for one := range strings.SplitSeq(field, ",") {
		name, params, _ := strings.Cut(one, ";")
		if strings.EqualFold(strings.TrimSpace(name), "gzip") {
			q, err := strconv.ParseFloat(strings.TrimPrefix(strings.ReplaceAll(params, " ", ""), "q="), 64)
			return params == "" || err == nil && q > 0
		}
	}
	return false
}

// Documents are squeezed fast, pages and what they load as small as gzip makes
// them: they go to phones.
var fast, small = squeezers(gzip.BestSpeed), squeezers(gzip.DefaultCompression)

func squeezers(level int) *sync.Pool {
	return &sync.Pool{New: func() any {
		w, _ := gzip.NewWriterLevel(nil, level) // a known level cannot fail
		return w
	}}
}

func squeeze(body []byte, mediaType string) []byte {
	pool := fast
	if strings.HasPrefix(mediaType, "text/") && !strings.HasPrefix(mediaType, csvType) {
		pool = small
	}
	var out bytes.Buffer
	z := pool.Get().(*gzip.Writer)
	z.Reset(&out)
	_, _ = z.Write(body) // a bytes.Buffer takes every byte
	_ = z.Close()
	pool.Put(z)
	return out.Bytes()
}

package api_test

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/gin-gonic/gin"

	"rootcue/api"
	"rootcue/engine"
	"rootcue/engine/observation"
)

// The cost of POST /v1/assess beside its floor: the engine (decode, judge,
// encode) plus a canned answer of the same size from gin, (engine + canned) /
// assess of one run; or, with judging alone as the engine, (judging + canned) /
// assess.
//
//	go test ./api -run '^$' -bench 'Assess' -benchtime 3000x -count 6
func BenchmarkAssess(b *testing.B) {
	body := example(b, "assess.request")
	shelf := api.ShippedShelf()
	p, err := shelf.Rubric(context.Background(), "throw-to-second")
	if err != nil {
		b.Fatal(err)
	}
	var size int
	b.Run("engine", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			o, slips := observation.Decode(body)
			if o == nil {
				b.Fatal(slips)
			}
			a, slips := engine.Assess(engine.Request{Rubric: p.Rubric, Version: 1, Observation: o})
			if a == nil {
				b.Fatal(slips)
			}
			out, err := a.JSON()
			if err != nil {
				b.Fatal(err)
			}
			size = len(out)
		}
	})
	b.Run("judging", func(b *testing.B) { // the engine without reading and writing
		b.ReportAllocs()
		o, slips := observation.Decode(body)
		if o == nil {
			b.Fatal(slips)
		}
		for b.Loop() {
			if a, slips := engine.Assess(engine.Request{Rubric: p.Rubric, Version: 1, Observation: o}); a == nil {
				b.Fatal(slips)
			}
		}
	})
	b.Run("canned", func(b *testing.B) {
		b.ReportAllocs()
		gin.SetMode(gin.ReleaseMode)
		router := gin.New()
		answer := bytes.Repeat([]byte("x"), size)
		router.POST("/v1/assess", func(c *gin.Context) {
			if _, err := io.Copy(io.Discard, c.Request.Body); err != nil {
				b.Fatal(err)
			}
			c.Data(http.StatusOK, "application/json", answer)
		})
		benchmarkHandler(b, router, body)
	})
	b.Run("assess", func(b *testing.B) {
		b.ReportAllocs()
		benchmarkHandler(b, newServer(b, nil), body)
	})
}

func benchmarkHandler(b *testing.B, h http.Handler, body []byte) {
	for b.Loop() {
		r := httptest.NewRequest("POST", "/v1/assess", bytes.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		if h.ServeHTTP(w, r); w.Code != http.StatusOK {
			b.Fatal(w.Code, w.Body)
		}
	}
}

// Reading the document is what every client does first.
func BenchmarkOpenAPI(b *testing.B) {
	s := newServer(b, nil)
	for b.Loop() {
		w := httptest.NewRecorder()
		s.ServeHTTP(w, httptest.NewRequest("GET", "/openapi.json", nil))
	}
}

// A server is built in the time a person does not notice.
func BenchmarkNew(b *testing.B) {
	for b.Loop() {
		newServer(b, nil)
	}
}

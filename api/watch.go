package api

import (
	"context"
	"log/slog"
	"net/http"
	"regexp"
	"time"

	"github.com/gin-gonic/gin"
	"github.com/google/uuid"
	"go.opentelemetry.io/contrib/instrumentation/github.com/gin-gonic/gin/otelgin"
	"go.opentelemetry.io/otel/propagation"
	"go.opentelemetry.io/otel/trace"
)

// RequestIDHeader carries the request's id, in and out.
const RequestIDHeader = "X-Request-Id"

var saneID = regexp.MustCompile(`^[A-Za-z0-9._-]{8,64}$`)

type requestIDKey struct{}

// RequestID is the id under which the log knows the request.
func RequestID(ctx context.Context) string {
	id, _ := ctx.Value(requestIDKey{}).(string)
	return id
}

// watch names, times, counts and logs a request. The log holds the route, not
// the path: no reference of a player, no address, no body.
func (s *Server) watch(c *gin.Context) {
	start := s.Now()
	id := c.GetHeader(RequestIDHeader)
	if !saneID.MatchString(id) {
		id = uuid.Must(uuid.NewV7()).String()
	}
	c.Request = c.Request.WithContext(context.WithValue(c.Request.Context(), requestIDKey{}, id))
	c.Header(RequestIDHeader, id)
	s.metrics.inFlight.Inc()
	defer func() { // also where the connection is cut, by a panic
		s.metrics.inFlight.Dec()
		took := s.Now().Sub(start)
		s.metrics.seen(c.Request.Method, c.FullPath(), c.Writer.Status(), took)
		s.log(c, id, took)
	}()
	c.Next()
}

func (s *Server) log(c *gin.Context, id string, took time.Duration) {
	level := slog.LevelInfo
	if c.Writer.Status() >= 500 {
		level = slog.LevelError
	}
	if !s.Log.Enabled(c.Request.Context(), level) {
		return
	}
	attrs := []slog.Attr{
		slog.String("method", c.Request.Method), slog.String("route", c.FullPath()), slog.Int("status", c.Writer.Status()),
		slog.Float64("ms", float64(took.Microseconds())/1000), slog.Int("bytes", c.Writer.Size()), slog.String("request_id", id),
	}
	if id := traceID(c.Request); id.IsValid() {
		attrs = append(attrs, slog.String("trace_id", id.String()))
	}
	if p, ok := PrincipalOf(c.Request.Context()); ok {
		attrs = append(attrs, slog.String("key", p.KeyID))
	}
	if err := c.Errors.Last(); err != nil {
		attrs = append(attrs, slog.String("error", err.Error()))
	}
	s.Log.LogAttrs(c.Request.Context(), level, "request", attrs...)
}

// traceID is the trace a request belongs to: that of its span, or without one
// that of its traceparent (W3C Trace Context).
func traceID(r *http.Request) trace.TraceID {
	if span := trace.SpanContextFromContext(r.Context()); span.IsValid() {
		return span.TraceID()
	}
	ctx := propagation.TraceContext{}.Extract(r.Context(), propagation.HeaderCarrier(r.Header))
	return trace.SpanContextFromContext(ctx).TraceID()
}

// traced opens a span for each request, under its route.
func traced(tracer trace.TracerProvider) gin.HandlerFunc {
	return otelgin.Middleware("rootcue", otelgin.WithTracerProvider(tracer), otelgin.WithPropagators(propagation.TraceContext{}))
}

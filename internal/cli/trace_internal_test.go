package cli

import (
	"context"
	"errors"
	"testing"

	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/codes"
	"go.opentelemetry.io/otel/sdk/trace"
	"go.opentelemetry.io/otel/sdk/trace/tracetest"
	oteltrace "go.opentelemetry.io/otel/trace"
)

// Texts of errors and what is not on the list stay here, whatever a library
// puts into a span.
func TestSpansAreImpersonal(t *testing.T) {
	kept := tracetest.NewInMemoryExporter()
	provider := trace.NewTracerProvider(trace.WithSyncer(impersonal{kept}))
	_, span := provider.Tracer("test").Start(context.Background(), "GET /v1/players/:ref", oteltrace.WithAttributes(
		attribute.String("url.path", "/v1/players/P-0733"), attribute.String("http.route", "/v1/players/:ref")))
	span.RecordError(errors.New("P-0733 is not there"))
	span.SetStatus(codes.Error, "P-0733 is not there")
	span.End()
	got := kept.GetSpans()
	if len(got) != 1 || len(got[0].Events) != 0 || got[0].Status != (trace.Status{Code: codes.Error}) ||
		len(got[0].Attributes) != 1 || got[0].Attributes[0].Key != "http.route" {
		t.Errorf("found %+v", got)
	}
}

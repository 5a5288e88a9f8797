package cli

import (
	"context"
	"log/slog"
	"os"
	"slices"
	"strings"
	"time"

	"go.opentelemetry.io/otel"
	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace/otlptracehttp"
	"go.opentelemetry.io/otel/sdk/resource"
	"go.opentelemetry.io/otel/sdk/trace"
	oteltrace "go.opentelemetry.io/otel/trace"
)

// flushTime is how long the last spans may take on their way out.
const flushTime = 5 * time.Second

// tracing sends spans to the OTLP endpoint that the standard OTEL_ environment
// variables name (OpenTelemetry, "Environment Variable Specification" and
// "OTLP Exporter Configuration"), until the end it gives is called. Without an
// endpoint there is no provider. Sampling, batches and attributes of the
// resource are read from them by the SDK.
func tracing(log *slog.Logger) (provider oteltrace.TracerProvider, end func(), err error) {
	if env("OTEL_EXPORTER_OTLP_TRACES_ENDPOINT", "OTEL_EXPORTER_OTLP_ENDPOINT") == "" || strings.EqualFold(env("OTEL_SDK_DISABLED"), "true") {
		return nil, func() {}, nil
	}
	switch kind := env("OTEL_TRACES_EXPORTER"); kind {
	case "none":
		return nil, func() {}, nil
	case "", "otlp":
	default:
		return nil, nil, badUsage("OTEL_TRACES_EXPORTER: found %s, wanted otlp or none", kind)
	}
	if p := env("OTEL_EXPORTER_OTLP_TRACES_PROTOCOL", "OTEL_EXPORTER_OTLP_PROTOCOL"); p != "" && p != "http/protobuf" {
		return nil, nil, badUsage("OTEL_EXPORTER_OTLP_PROTOCOL: found %s, wanted http/protobuf", p)
	}
	otel.SetErrorHandler(otel.ErrorHandlerFunc(func(err error) { log.Warn("traces", "error", err.Error()) }))
	ctx := context.Background()
	exporter, err := otlptracehttp.New(ctx)
	if err != nil {
		return nil, nil, cannotRun("traces: %v", err)
	}
	own, err := resource.New(ctx, resource.WithAttributes(attribute.String("service.name", programName)), resource.WithTelemetrySDK(), resource.WithFromEnv())
	if err != nil {
		return nil, nil, badUsage("OTEL_RESOURCE_ATTRIBUTES: %v", err)
	}
	spans := trace.NewTracerProvider(trace.WithResource(own), trace.WithBatcher(impersonal{exporter}))
	return spans, func() {
		ctx, cancel := context.WithTimeout(ctx, flushTime)
		defer cancel()
		if err := spans.Shutdown(ctx); err != nil {
			log.Warn("traces", "error", err.Error())
		}
	}, nil
}

// env is the first of some environment variables that is set.
func env(names ...string) string {
	i := slices.IndexFunc(names, func(name string) bool { return os.Getenv(name) != "" })
	if i < 0 {
		return ""
	}
	return os.Getenv(names[i])
}

// impersonal hands on only what tells of no person: not the path, which holds
// references of players, nor addresses, agents and texts of errors.
type impersonal struct{ trace.SpanExporter }

// ExportSpans implements trace.SpanExporter.
func (e impersonal) ExportSpans(ctx context.Context, spans []trace.ReadOnlySpan) error {
	plain := make([]trace.ReadOnlySpan, len(spans))
	for i, s := range spans {
		plain[i] = plainSpan{s}
	}
	return e.SpanExporter.ExportSpans(ctx, plain)
}

// plainKeys are the attributes that are handed on (OpenTelemetry, "Semantic
// conventions for HTTP spans").
var plainKeys = []attribute.Key{"http.request.method", "http.response.status_code", "http.route", "network.protocol.version", "url.scheme"}

type plainSpan struct{ trace.ReadOnlySpan }

// Attributes implements trace.ReadOnlySpan.
func (s plainSpan) Attributes() []attribute.KeyValue {
	return slices.DeleteFunc(slices.Clone(s.ReadOnlySpan.Attributes()), func(a attribute.KeyValue) bool { return !slices.Contains(plainKeys, a.Key) })
}

// Events implements trace.ReadOnlySpan: they hold texts of errors, which are
// in the log.
func (s plainSpan) Events() []trace.Event { return nil }

// Status implements trace.ReadOnlySpan.
func (s plainSpan) Status() trace.Status { return trace.Status{Code: s.ReadOnlySpan.Status().Code} }

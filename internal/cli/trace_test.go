package cli_test

import (
	"bytes"
	"encoding/hex"
	"io"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"

	collector "go.opentelemetry.io/proto/otlp/collector/trace/v1"
	"go.opentelemetry.io/proto/otlp/trace/v1"
	"google.golang.org/protobuf/proto"
)

// A receiver takes spans as OTLP over HTTP, in protobuf.
type receiver struct {
	*httptest.Server
	mu    sync.Mutex
	raw   bytes.Buffer // every body, as it came
	spans []*v1.Span
}

func newReceiver(t *testing.T) *receiver {
	r := &receiver{}
	r.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, req *http.Request) {
		b, err := io.ReadAll(req.Body)
		var sent collector.ExportTraceServiceRequest
		if err != nil || req.URL.Path != "/v1/traces" || proto.Unmarshal(b, &sent) != nil {
			t.Errorf("%s: no OTLP traces (%v)", req.URL.Path, err)
		}
		r.mu.Lock()
		defer r.mu.Unlock()
		r.raw.Write(b)
		for _, of := range sent.ResourceSpans {
			for _, in := range of.ScopeSpans {
				r.spans = append(r.spans, in.Spans...)
			}
		}
	}))
	t.Cleanup(r.Close)
	return r
}

// traces: a span of each request under its route, in the caller's trace, and
// nothing in it that tells of a person.
func (b binary) traces(t *testing.T) {
	r := newReceiver(t)
	t.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", r.URL)
	t.Setenv("OTEL_RESOURCE_ATTRIBUTES", "deployment.environment.name=field-day")
	p := b.serve(t, "--demo")
	key := regexp.MustCompile(`admin +(rc_\S+)`).FindStringSubmatch(p.welcome)[1]
	const trace = "4bf92f3577b34da6a3ce929d0e0e4736" // the example of W3C Trace Context, 3.2
	for _, call := range [][2]string{{"GET", "/v1/players/P-0733"}, {"GET", "/v1/assessments?player=P-0733"}, {"GET", "/nowhere/P-0733"}, {"DOE", "/v1/players/P-0733"}} {
		req, err := http.NewRequest(call[0], p.base+call[1], nil)
		if err != nil {
			t.Fatal(err)
		}
		req.Header = http.Header{"Authorization": {"Bearer " + key}, "User-Agent": {"phone of Doe"}, "Traceparent": {"00-" + trace + "-00f067aa0ba902b7-01"}, "X-Forwarded-For": {"198.51.100.7"}}
		res, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
	}
	p.stop(t, syscall.SIGTERM) // what is held back goes out
	var names []string
	for _, s := range r.spans {
		names = append(names, s.Name)
		if hex.EncodeToString(s.TraceId) != trace || hex.EncodeToString(s.ParentSpanId) != "00f067aa0ba902b7" {
			t.Errorf("the span of %s is not in the caller's trace", s.Name)
		}
	}
	if want := []string{"GET /v1/players/:ref", "GET /v1/assessments", "GET", "HTTP"}; !slices.Equal(names, want) {
		t.Errorf("spans %q, wanted %q", names, want)
	}
	for _, personal := range []string{"P-0733", "Doe", "DOE", key, "127.0.0.1", "198.51.100.7"} {
		if strings.Contains(r.raw.String(), personal) {
			t.Errorf("the traces hold %q", personal)
		}
	}
	for _, want := range []string{"rootcue", "field-day", "http.response.status_code"} {
		if !strings.Contains(r.raw.String(), want) {
			t.Errorf("the traces lack %q", want)
		}
	}
	if !strings.Contains(p.errs.String(), `"trace_id":"`+trace+`"`) {
		t.Errorf("the log does not name the trace: %s", p.errs)
	}
}

// A receiver that is not there costs no answer, and is told.
func (b binary) tracesWithoutReceiver(t *testing.T) {
	t.Setenv("OTEL_EXPORTER_OTLP_TRACES_ENDPOINT", "http://127.0.0.1:1/v1/traces")
	t.Setenv("OTEL_EXPORTER_OTLP_TIMEOUT", "500")
	p := b.serve(t, "--demo")
	res, err := http.Get(p.base + "/healthz")
	if err != nil || res.StatusCode != 200 {
		t.Fatalf("found %v, %v", res, err)
	}
	res.Body.Close()
	p.stop(t, syscall.SIGTERM)
	if !strings.Contains(p.errs.String(), `"msg":"traces"`) {
		t.Errorf("the log does not tell of it: %s", p.errs)
	}
}

// tracesOff: without an endpoint, and where the environment says so, nothing
// is sent; what the program cannot do is refused.
func (b binary) tracesOff(t *testing.T) {
	r := newReceiver(t)
	for name, value := range map[string]string{"OTEL_SDK_DISABLED": "true", "OTEL_TRACES_EXPORTER": "none", "OTEL_EXPORTER_OTLP_ENDPOINT": ""} {
		t.Run(name, func(t *testing.T) {
			t.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", r.URL)
			t.Setenv(name, value)
			p := b.serve(t, "--demo")
			res, err := http.Get(p.base + "/healthz")
			if err != nil {
				t.Fatal(err)
			}
			res.Body.Close()
			if p.stop(t, syscall.SIGTERM); r.raw.Len() > 0 {
				t.Error("spans are sent")
			}
		})
	}
	t.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", r.URL)
	for name, value := range map[string]string{"OTEL_EXPORTER_OTLP_PROTOCOL": "grpc", "OTEL_TRACES_EXPORTER": "console"} {
		t.Run(name, func(t *testing.T) {
			t.Setenv(name, value)
			if code, says := b.ends(t, "serve", "--demo", "--listen", "127.0.0.1:0"); code != 2 || !strings.Contains(says, name+": found "+value) {
				t.Errorf("exit code %d: %s", code, says)
			}
		})
	}
}

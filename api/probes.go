package api

import (
	"bytes"
	"context"
	"crypto/subtle"
	"strings"

	"github.com/prometheus/common/expfmt"
)

func (s *Server) probeRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/healthz", ID: "health", Tag: "Operation", Summary: "Whether the process is alive", Unlimited: true,
		Description: "Answers as long as the process can answer at all; it asks neither the database nor anything else.",
	}, s.health)
	Add(s, Route{
		Method: "GET", Path: "/readyz", ID: "ready", Tag: "Operation", Summary: "Whether requests can be served", Unlimited: true,
		Description: "503 while the database cannot be reached or is of another version, and while the server is stopping.", Also: []Kind{Unavailable},
	}, s.ready)
	Add(s, Route{
		Method: "GET", Path: "/metrics", ID: "metrics", Tag: "Operation", Summary: "Counters in the Prometheus text format", Unlimited: true,
		Description: "Opened by the metrics token as bearer, not by a club's key; the counters can also stand on a port of their own. Routes, methods, statuses and times only: nothing personal.",
		Answer:      Text("text/plain"), Also: []Kind{NoKey},
	}, s.readMetrics)
}

// A State is what a probe answers.
type State struct {
	Status string `json:"status" enum:"ok" doc:"ok"`
}

func (s *Server) health(context.Context, *None) (*Answer[State], error) {
	return &Answer[State]{State{"ok"}}, nil
}

func (s *Server) ready(context.Context, *None) (*Answer[State], error) {
	if s.Ready != nil {
		if err := s.Ready(); err != nil {
			return nil, Unavailable.Say("requests cannot be served at the moment").With("Retry-After", "5").Because(err)
		}
	}
	return &Answer[State]{State{"ok"}}, nil
}

type metricsInput struct {
	Authorization string `header:"Authorization" hidden:"true"`
}

func (s *Server) readMetrics(_ context.Context, in *metricsInput) (*Written, error) {
	token := strings.TrimPrefix(in.Authorization, "Bearer ")
	good := s.MetricsToken != "" && subtle.ConstantTimeCompare([]byte(token), []byte(s.MetricsToken)) == 1
	if !good && !s.Demo {
		return nil, NoKey.At(Slip{Code: "no-key", Parameter: "header.Authorization", Found: "no metrics token", Wanted: "the server's metrics token as bearer", Hint: "it is set when the server is started"}).With("WWW-Authenticate", `Bearer realm="rootcue metrics"`)
	}
	families, err := s.metrics.registry.Gather()
	if err != nil {
		return nil, err
	}
	format := expfmt.NewFormat(expfmt.TypeTextPlain)
	var out bytes.Buffer
	for _, f := range families {
		if _, err := expfmt.MetricFamilyToText(&out, f); err != nil {
			return nil, err
		}
	}
	return &Written{ContentType: string(format), Body: out.Bytes()}, nil
}

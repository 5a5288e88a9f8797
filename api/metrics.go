package api

import (
	"net/http"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// metrics are what the server counts.
type metrics struct {
	registry *prometheus.Registry
	inFlight prometheus.Gauge
	requests *prometheus.CounterVec
	duration *prometheus.HistogramVec
}

func newMetrics() *metrics {
	m := &metrics{
		registry: prometheus.NewRegistry(),
		inFlight: prometheus.NewGauge(prometheus.GaugeOpts{Name: "rootcue_requests_in_flight", Help: "Requests being answered."}),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "rootcue_requests_total", Help: "Requests answered, by route, method and status."}, []string{"route", "method", "status"}),
		duration: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "rootcue_request_seconds", Help: "Time to answer a request, by route.",
			Buckets: []float64{.0005, .001, .0025, .005, .01, .025, .05, .1, .25, 1, 5, 30}}, []string{"route"}),
	}
	m.registry.MustRegister(m.inFlight, m.requests, m.duration, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

var knownMethods = map[string]bool{"GET": true, "HEAD": true, "POST": true, "PUT": true, "PATCH": true, "DELETE": true, "OPTIONS": true}

// seen counts a request. Routes and methods that are none of ours share one
// label each, so that a caller cannot make labels.
func (m *metrics) seen(method, route string, status int, took time.Duration) {
	if route == "" {
		route = "none"
	}
	if !knownMethods[method] {
		method = "other"
	}
	m.requests.WithLabelValues(route, method, strconv.Itoa(status)).Inc()
	m.duration.WithLabelValues(route).Observe(took.Seconds())
}

// MetricsHandler serves the metrics in the Prometheus text format, for a port
// of their own.
func (s *Server) MetricsHandler() http.Handler {
	return promhttp.HandlerFor(s.metrics.registry, promhttp.HandlerOpts{})
}

// Package api is the HTTP interface: routes with their roles, problems, the
// OpenAPI document and its pages. It holds no rules of coaching.
//
// To add an endpoint, open the file of its resource, such as rubrics.go, or make
// one with a method (s *Server) thingsRoutes() and call that in routes below.
// Declare the endpoint with the least role that may call it, and write its
// handler, a few lines:
//
//	Add(s, Route{
//		Method: "GET", Path: "/v1/things/{name}", ID: "read-thing", Tag: "Things",
//		Summary: "Read a thing", Description: "What it is for.", Role: Read,
//	}, s.readThing)
//
//	func (s *Server) readThing(ctx context.Context, in *struct {
//		Name string `path:"name" doc:"The thing's name" example:"mask"`
//	}) (*Answer[Thing], error)
//
// Parameters and body are fields of the input (path, query and header tags; Body
// for JSON by a Go type, RawBody for a body with a reader of its own, declared
// in Route.Body). They are checked before the handler is called. What it returns
// is written as JSON. An error that is a *Problem, such as NotFound.Say("no
// thing %q", name), is answered as such; anything else is logged and answered
// with 500. PrincipalOf(ctx) says whose data it is.
//
// Put an example of the body into examples/ID.request.json; go test ./api -run
// TestExamples -update writes the answer beside it. The OpenAPI document, the
// reference, the role × route test and the checks of answers against their
// schemas need nothing more.
package api

import (
	"log/slog"
	"net/http"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"
	"go.opentelemetry.io/otel/trace"

	"rootcue/internal/club"
)

// Options are what a server is built from. Only Rubrics and Policies must be
// there.
type Options struct {
	Rubrics  Rubrics
	Policies Policies
	Keys     Authenticator        // nil: no key opens anything, and only open routes answer
	Clubs    *club.Clubs          // what clubs keep; Keys, Answers and Rubrics are theirs then
	Answers  Answers              // kept answers for Idempotency-Key; nil: replayable routes refuse the field
	Ready    func() error         // nil once requests can be served
	Log      *slog.Logger         // nil: nothing is logged
	Tracer   trace.TracerProvider // nil: nothing is traced
	Now      func() time.Time

	Demo         bool     // an invented club to look at: no key is asked for metrics
	MetricsToken string   // opens /metrics; "" leaves them to their own port
	CORS         []string // origins of web pages that may call the API, beside those of a club's own list
	Proxies      []string // addresses and networks (CIDR) of proxies whose X-Forwarded-For is believed
	Rate         Rate     // of each key, or of each address without one; zero: no limit
}

// A Server answers HTTP requests. Build it with New.
type Server struct {
	Options
	Routes []*Route // every operation, in the order of declaration

	pages []string // methods and paths of the pages, which are no part of the document

	gin     *gin.Engine
	huma    huma.API
	schemas schemas
	metrics *metrics
	limits  *limiter
	turns   *turns // of requests
	imports *turns
	origins origins
	openapi func() []byte
	docs    func() ([]byte, error)
}

// New builds the server. It panics when Proxies holds no addresses.
func New(o Options) *Server {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	if o.Clubs != nil {
		o.Keys, o.Answers, o.Rubrics = clubKeys{o.Clubs}, clubAnswers{o.Clubs}, clubRubrics{o.Clubs, o.Rubrics}
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	gin.SetMode(gin.ReleaseMode)
	s := &Server{Options: o, gin: gin.New(), metrics: newMetrics(), limits: newLimiter(o.Rate, o.Now)}
	s.turns, s.imports = newTurns(MostInWork, MostWaiting, patience), newTurns(mostImports, mostImportsWaiting, patience)
	s.gin.HandleMethodNotAllowed = true
	s.gin.RedirectTrailingSlash = false
	s.gin.UseRawPath = true // a slash within a reference, sent as %2F, stays within it
	s.gin.RemoteIPHeaders = []string{"X-Forwarded-For"}
	if err := s.gin.SetTrustedProxies(o.Proxies); err != nil {
		panic("api: Proxies: " + err.Error())
	}
	if o.Tracer != nil {
		s.gin.Use(traced(o.Tracer))
	}
	s.gin.Use(s.watch, s.answer, s.recover, s.manners, s.cors)
	s.gin.NoRoute(s.noRoute)
	s.gin.NoMethod(s.noMethod)
	s.schemas = schemasAt("#/components/schemas/")
	s.huma = newHuma(s.gin, s.schemas)
	s.routes()
	s.openapi, s.docs = sync.OnceValue(s.document), s.onceDocs()
	return s
}

// routes declares every operation, one method a resource.
func (s *Server) routes() {
	s.assessRoutes()
	s.flightRoutes()
	s.workloadRoutes()
	s.planRoutes()
	s.rubricRoutes()
	s.versionRoutes()
	s.limitRoutes()
	s.observationRoutes()
	s.assessmentRoutes()
	s.playerRoutes()
	s.groupRoutes()
	s.keyRoutes()
	s.changeRoutes()
	s.settingRoutes()
	s.policyRoutes()
	s.throwRoutes()
	s.reviewRoutes()
	s.reportRoutes()
	s.linkRoutes()
	s.cueRoutes()
	s.effectRoutes()
	s.childrenRoutes()
	s.exportRoutes()
	s.webhookRoutes()
	s.tryoutRoutes()
	s.jobRoutes()
	s.probeRoutes()
	s.documentRoutes()
	s.docsRoutes()
	s.problemRoutes()
	s.pageRoutes()
}

// ServeHTTP answers one request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.gin.ServeHTTP(w, r) }

package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"os"
	"os/signal"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	"rootcue/api"
	"rootcue/engine/place"
)

// serveCmd runs the HTTP server.
type serveCmd struct {
	Listen        string   `default:"127.0.0.1:8080" env:"ROOTCUE_LISTEN" placeholder:"ADDR" help:"Where to listen."`
	Rubrics       string   `env:"ROOTCUE_RUBRICS" placeholder:"DIR" help:"Rubrics to publish into every club, DIR/NAME.yaml, and policies beside the shipped ones, DIR/workload/NAME.yaml. The folder is watched."`
	Demo          bool     `help:"Show an invented club, with a key of each role; nothing is kept."`
	CORS          []string `name:"cors" env:"ROOTCUE_CORS" placeholder:"ORIGIN" help:"Origins of web pages that may call, such as https://club.example, beside those of a club's settings."`
	Proxy         []string `env:"ROOTCUE_PROXY" placeholder:"ADDR" help:"Address or network (CIDR) of a proxy in front, whose X-Forwarded-For is believed."`
	MetricsListen string   `env:"ROOTCUE_METRICS_LISTEN" placeholder:"ADDR" help:"Serve /metrics here as well, without a token."`
	MetricsToken  string   `env:"ROOTCUE_METRICS_TOKEN" placeholder:"TOKEN" help:"Token that opens /metrics."`
	databaseFlag
}

// Help is the example shown by --help.
func (serveCmd) Help() string {
	return "Example:\n  rootcue serve --demo\n  rootcue key add --club Harbour --role admin && rootcue serve\nA missing database is made. It stops on Ctrl-C or SIGTERM, after answering what is under way.\nTraces go by OTLP over HTTP to OTEL_EXPORTER_OTLP_ENDPOINT, if that is set."
}

// Run serves until it is told to stop.
func (c *serveCmd) Run(s *streams) error {
	for _, p := range c.Proxy {
		if _, _, err := net.ParseCIDR(p); err != nil && net.ParseIP(p) == nil {
			return badUsage("--proxy: found %s, wanted an address such as 10.0.0.7 or a network such as 10.0.0.0/24", p)
		}
	}
	shelf, err := c.shelf(s)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	listener, err := listen("--listen", c.Listen)
	if err != nil {
		return err
	}
	live := &liveShelf{}
	live.now.Store(shelf)
	log := slog.New(slog.NewJSONHandler(s.Err, nil))
	tracer, endTraces, err := tracing(log)
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	defer endTraces()
	kept, err := c.keep(ctx, log)
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	defer func() {
		stop() // what runs beside the server ends with it, also where it could not begin
		kept.close(s.Err)
	}()
	if c.Rubrics != "" {
		watch := &folderWatch{dir: c.Rubrics, shelf: live, clubs: kept.clubs, log: log}
		watch.look(ctx)
		kept.background(func() { watch.run(ctx) })
	}
	var stopping atomic.Bool
	server := api.New(api.Options{
		Rubrics: live, Policies: live, Clubs: kept.clubs, Demo: c.Demo, MetricsToken: c.MetricsToken, CORS: c.CORS, Proxies: c.Proxy,
		Rate: api.Rate{Requests: 600, Window: time.Minute},
		Log:  log, Tracer: tracer,
		Ready: func() error {
			if stopping.Load() {
				return errors.New("stopping")
			}
			return kept.ready()
		},
	})
	context.AfterFunc(ctx, func() { stopping.Store(true) })
	if err := c.serveMetrics(ctx, server); err != nil {
		return err
	}
	c.welcome(s.Out, listener.Addr().String(), kept.demo)
	if err := api.Serve(ctx, listener, server); err != nil {
		return cannotRun("the server stopped: %v", err)
	}
	return nil
}

// shelf reads the rubrics; a folder with a faulty file is not served.
func (c *serveCmd) shelf(s *streams) (*api.Shelf, error) {
	var own fs.FS
	if c.Rubrics != "" {
		dir, err := openFolder(c.Rubrics)
		if err != nil {
			return nil, cannotRun("--rubrics: found %s, wanted a folder that can be read", c.Rubrics)
		}
		defer dir.Close()
		own = dir
	}
	shelf, problems, err := api.NewShelf(own)
	if err != nil {
		return nil, cannotRun("--rubrics: %v", err)
	}
	text := strings.TrimRight(place.Render(problems, func(file string) []byte {
		b, _ := fs.ReadFile(own, file) // only its line is left out of the message
		return b
	}), "\n")
	if place.Failed(problems) {
		return nil, badInput("the rubrics in %s have problems\n%s", c.Rubrics, text)
	}
	if text != "" {
		fmt.Fprintln(s.Err, text)
	}
	return shelf, nil
}

func (c *serveCmd) serveMetrics(ctx context.Context, server *api.Server) error {
	if c.MetricsListen == "" {
		return nil
	}
	l, err := listen("--metrics-listen", c.MetricsListen)
	if err != nil {
		return err
	}
	go func() { _ = api.Serve(ctx, l, server.MetricsHandler()) }() // ends with the server
	return nil
}

func listen(flag, address string) (net.Listener, error) {
	l, err := net.Listen("tcp", address)
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, cannotRun("%s: %s is taken by another program; give another address, such as 127.0.0.1:8081", flag, address)
	}
	if err != nil {
		return nil, cannotRun("%s: cannot listen on %s: %v", flag, address, err)
	}
	return l, nil
}

// welcome says what to open, and a line that works.
func (c *serveCmd) welcome(out io.Writer, address string, d *demonstration) {
	base, _ := baseOf(address) // of a listener
	fmt.Fprintf(out, "rootcue listens on %s\n", base)
	if d == nil {
		return
	}
	fmt.Fprintln(out, "\nAn invented club to try it with; nothing is kept when the program ends. Its keys, one a role:")
	d.print(out)
	fmt.Fprintf(out, `
Open:
  %[1]s/                the pages; sign in with one of the keys
  %[1]s/docs            what it can do, with a form to try each operation
  %[1]s/openapi.json    the same for programs
Judge an observation:
  curl -sS %[1]s/v1/assess -H 'Content-Type: application/json' -d '%[2]s'
`, base, api.DemoObservation)
}

package cli

import (
	"fmt"
	"net"
	"net/http"
	"time"
)

// readyCmd asks a server whether it can serve, for whatever watches over it.
type readyCmd struct {
	Listen string `default:"127.0.0.1:8080" env:"ROOTCUE_LISTEN" placeholder:"ADDR" help:"Where the server on this machine listens."`
}

// Help is the example shown by --help.
func (readyCmd) Help() string {
	return "Example:\n  rootcue ready || echo the server cannot serve\nThe same as GET /readyz; exit code 0 is ready, 3 is not."
}

// readyTime is how long the server may take to answer.
const readyTime = 4 * time.Second

// Run asks /readyz.
func (c *readyCmd) Run(s *streams) error {
	base, err := baseOf(c.Listen)
	if err != nil {
		return badUsage("--listen: %v", err)
	}
	client := http.Client{Timeout: readyTime}
	res, err := client.Get(base + "/readyz")
	if err != nil {
		return cannotRun("%v", err)
	}
	if err := res.Body.Close(); err != nil {
		return cannotRun("%v", err)
	}
	if res.StatusCode != http.StatusOK {
		return cannotRun("%s is not ready: it answers %s", base, res.Status)
	}
	fmt.Fprintf(s.Out, "%s is ready\n", base)
	return nil
}

// baseOf is the address under which a server is asked from its own machine.
func baseOf(listen string) (string, error) {
	host, port, err := net.SplitHostPort(listen)
	if err != nil {
		return "", err
	}
	if host == "" || net.ParseIP(host).IsUnspecified() {
		host = "127.0.0.1"
	}
	return "http://" + net.JoinHostPort(host, port), nil
}

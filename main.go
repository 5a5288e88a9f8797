// Command rootcue judges observations of youth catchers against coaching
// rubrics, on the command line and over HTTP.
package main

import (
	"os"

	"rootcue/internal/cli"
)

func main() {
	os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// Command capacity says what machines the service needs and when they no longer
// suffice. It takes the unit costs in testdata/speed/costs.json, which a benchmark
// beside it measures, has the busiest hour of a large league played through by a
// simulation of queues, and writes testdata/speed/capacity.md:
//
//	go test ./internal/capacity -run NONE -bench UnitCosts -benchtime 1x -write
//	go run ./internal/capacity          # or both: make speed
//
// The same costs and the same seed give the same file.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	folder := flag.String("folder", "testdata/speed", "folder of costs.json, and for capacity.md")
	seed := flag.Uint64("seed", 1, "where chance starts")
	flag.Parse()
	if err := run(*folder, *seed); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(3)
	}
}

func run(folder string, seed uint64) error {
	m, err := readCosts(filepath.Join(folder, costsName))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, "capacity.md"), []byte(plan(m, seed)), 0o644)
}

// Command speed runs the benchmarks of the whole program in one go and prints
// them side by side, each beside what it is held against: medians, spread and
// ratios. With -out it keeps the table, the growth curves and the raw lines.
//
//	go run ./internal/speed -out testdata/speed     # or: make speed
//	go run ./internal/speed -rows 10000,100000,1000000
package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

// settings are how long and how often each benchmark runs.
type settings struct {
	root  string // of the module
	out   string // folder to write to; "" prints only
	time  string // of each, as go test takes it
	count int    // runs of each; the median counts
	rows  string // numbers of stored assessments to list pages from, with commas
	lines int    // of the one request whose memory is measured
}

func main() {
	s := settings{root: "."}
	flag.StringVar(&s.out, "out", "", "folder for speed.md, curves.svg and benchmarks.txt")
	flag.StringVar(&s.time, "time", "200ms", "time or number of turns (100x) of each benchmark")
	flag.IntVar(&s.count, "count", 5, "runs of each benchmark")
	flag.StringVar(&s.rows, "rows", "10000,100000", "stored assessments to list pages from")
	flag.IntVar(&s.lines, "lines", 100_000, "lines of the one request whose memory is measured")
	flag.Parse()
	if err := measure(s); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(3)
	}
}

// measure runs everything and writes what came of it.
func measure(s settings) error {
	head := machine()
	raw, err := runAll(s)
	if err != nil {
		return err
	}
	all, err := readResults(raw)
	if err != nil {
		return err
	}
	table, err := all.table(head)
	if err != nil {
		return err
	}
	fmt.Print(table)
	if s.out == "" {
		return nil
	}
	curves, err := all.curves()
	if err != nil {
		return err
	}
	for name, text := range map[string]string{"speed.md": table, "curves.svg": curves, "benchmarks.txt": string(raw)} {
		if err := os.WriteFile(filepath.Join(s.out, name), []byte(text), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// machine describes what the figures were measured on, and how busy it was.
func machine() string {
	model := "unknown processor"
	if info, err := os.ReadFile("/proc/cpuinfo"); err == nil {
		if _, rest, ok := strings.Cut(string(info), "model name\t: "); ok {
			model, _, _ = strings.Cut(rest, "\n")
		}
	}
	load, _ := os.ReadFile("/proc/loadavg") // of Linux only
	return fmt.Sprintf("%s, %d cores, %s/%s, %s, %s; load average at the start: %.14s", model, runtime.NumCPU(), runtime.GOOS, runtime.GOARCH, runtime.Version(), time.Now().Format(time.DateOnly), load)
}

// benchmarks are what is run, package by package. The turns of a benchmark that
// writes to disk or fills a database are bounded by number.
var benchmarks = []struct{ dir, pattern, turns string }{
	{"engine/formula", "^BenchmarkRules$", ""},
	{"testdata/speed/libraries", "^BenchmarkRules$", ""},
	{"engine", "^Benchmark(Twin|Growth)$", ""},
	{"engine/flight", "^Benchmark(Solve|Race)$", ""},
	{"engine/workload", "^BenchmarkJudge5000Entries$", ""},
	{"engine/panel", "^BenchmarkTryout$", "1x"},
	{"api", "^BenchmarkAssess$", ""},
	{"internal/club", "^BenchmarkSubmitOne$", "300x"},
	{"internal/club", "^Benchmark(Bulk|Impact)$", "2x"},
	{"internal/speed", "^BenchmarkStart$", "3x"},
	{"internal/store/sqlstore", "^Benchmark(Save|Bare|Copy)$", "3000x"},
	{"internal/store/sqlstore", "^Benchmark(SaveOne|BareOne)$", "300x"},
}

// runAll gives the raw lines of all benchmarks.
func runAll(s settings) ([]byte, error) {
	var all bytes.Buffer
	for _, b := range benchmarks {
		turns := s.time
		if b.turns != "" && !strings.HasSuffix(s.time, "x") {
			turns = b.turns
		}
		if err := s.run(&all, b.dir, b.pattern, turns, s.count); err != nil {
			return nil, err
		}
	}
	if err := s.run(&all, "internal/speed", "^BenchmarkLines$", "1x", 1, "-lines", fmt.Sprint(s.lines)); err != nil {
		return nil, err
	}
	for _, rows := range strings.Split(s.rows, ",") {
		// Filling the database takes longest, so that one is read from once.
		if err := s.run(&all, "internal/store/sqlstore", "^BenchmarkPage$/^SQLite$/all", "200x", 1, "-rows", rows); err != nil {
			return nil, err
		}
	}
	return all.Bytes(), nil
}

func (s settings) run(out *bytes.Buffer, dir, pattern, turns string, count int, more ...string) error {
	args := append([]string{"test", "-run", "^$", "-timeout", "2h", "-bench", pattern, "-benchtime", turns, "-count", fmt.Sprint(count), "."}, more...)
	cmd := exec.Command("go", args...)
	var lines, problems bytes.Buffer
	cmd.Dir, cmd.Stdout, cmd.Stderr = filepath.Join(s.root, dir), &lines, &problems
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("go %s in %s: %w\n%s%s", strings.Join(args, " "), dir, err, lines.Bytes(), problems.Bytes())
	}
	_, err := out.Write(lines.Bytes())
	return err
}

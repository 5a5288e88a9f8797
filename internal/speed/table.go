package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"golang.org/x/perf/benchfmt"
)

// results are the values of each benchmark: package, name and unit to runs.
type results map[string][]float64

// readResults reads the lines of go test; times come in seconds.
func readResults(raw []byte) (results, error) {
	all := results{}
	r := benchfmt.NewReader(bytes.NewReader(raw), "benchmarks")
	for r.Scan() {
		switch line := r.Result().(type) {
		case *benchfmt.Result:
			name := string(line.Name)
			if i := strings.LastIndexByte(name, '-'); i > 0 { // the number of processors
				name = name[:i]
			}
			for _, v := range line.Values {
				key := line.GetConfig("pkg") + " " + name + " " + v.Unit
				all[key] = append(all[key], v.Value)
			}
		case *benchfmt.SyntaxError:
			return nil, line
		}
	}
	if err := r.Err(); err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	return all, nil
}

// of gives the runs of a benchmark, sorted.
func (r results) of(key string) ([]float64, error) {
	if len(r[key]) == 0 {
		return nil, fmt.Errorf("no benchmark %q was run", key)
	}
	return slices.Sorted(slices.Values(r[key])), nil
}

func median(sorted []float64) float64 {
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// rows of the table: what, and what it is held against. A title has no key.
var rows = []struct{ what, key, than, against string }{
	{"**Forty rules, compiled before**", "", "", ""},
	{"as rubrics compile them", formulaKey + "ours-sec", "by hand in Go", formulaKey + "hand-sec"},
	{"expr's machine", formulaKey + "expr-sec", "as rubrics compile them", formulaKey + "ours-sec"},
	{"CEL", "libraries Rules/cel sec/op", "as rubrics compile them", formulaKey + "ours-sec"},
	{"gval", "libraries Rules/gval sec/op", "as rubrics compile them", formulaKey + "ours-sec"},
	{"Starlark", "libraries Rules/starlark sec/op", "as rubrics compile them", formulaKey + "ours-sec"},
	{"**Six reps judged by throw-to-second**", "", "", ""},
	{"measures, verdicts, costs", "rootcue/engine Twin/judge/engine sec/op", "the hand-written twin", "rootcue/engine Twin/judge/twin sec/op"},
	{"with causes, clock and credit", "rootcue/engine Twin/steps/engine sec/op", "the hand-written twin", "rootcue/engine Twin/steps/twin sec/op"},
	{"**POST /v1/assess, without a network**", "", "", ""},
	{"whole request", "rootcue/api Assess/assess sec/op", "a canned answer of that size from gin", "rootcue/api Assess/canned sec/op"},
	{"whole request", "rootcue/api Assess/assess sec/op", "decoding, judging and encoding alone", "rootcue/api Assess/engine sec/op"},
	{"**Submitting, embedded database, durable**", "", "", ""},
	{"one observation", clubKey + "SubmitOne/submit sec/op", "a bare insert of its bytes", clubKey + "SubmitOne/bare_insert sec/op"},
	{"2000 lines of NDJSON", clubKey + "Bulk/submit sec/op", "judged and inserted bare", clubKey + "Bulk/bare sec/op"},
	{"impact on 1000 assessments", clubKey + "Impact sec/op", "", ""},
	{"**Saving 9 KB documents, judged before**", "", "", ""},
	{"SQLite, a thousand at a time, each", storeKey + "Save/SQLite sec/op", "the same rows into bare tables", storeKey + "Bare/SQLite sec/op"},
	{"PostgreSQL, a thousand at a time, each", storeKey + "Save/PostgreSQL sec/op", "COPY of the same rows into bare tables", storeKey + "Bare/PostgreSQL sec/op"},
	{"PostgreSQL, a thousand at a time, each", storeKey + "Save/PostgreSQL sec/op", "COPY into the same tables, unfenced", storeKey + "Copy sec/op"},
	{"SQLite, one at a time", storeKey + "SaveOne/SQLite sec/op", "a bare insert of its bytes", storeKey + "BareOne/SQLite sec/op"},
	{"PostgreSQL, one at a time", storeKey + "SaveOne/PostgreSQL sec/op", "a bare insert of its bytes", storeKey + "BareOne/PostgreSQL sec/op"},
	{"**The program**", "", "", ""},
	{"started without a database, until it answers", programKey + "Start sec/op", "", ""},
	{"memory while nobody asks for anything, with pages of its file", programKey + "Start resident-B", "", ""},
	{"the same, its own", programKey + "Start own-B", "", ""},
	{"most memory in one request of very many lines", programKey + "Lines most-B", "", ""},
	{"**The rest**", "", "", ""},
	{"flight of a throw, with uncertainty", "rootcue/engine/flight Solve/with-u sec/op", "", ""},
	{"workload, 5000 entries, three policies", "rootcue/engine/workload Judge5000Entries sec/op", "", ""},
}

const (
	formulaKey = "rootcue/engine/formula Rules "
	clubKey    = "rootcue/internal/club "
	storeKey   = "rootcue/internal/store/sqlstore "
	programKey = "rootcue/internal/speed "
)

// table writes the rows as Markdown.
func (r results) table(machine string) (string, error) {
	var b strings.Builder
	fmt.Fprintf(&b, "# Speed\n\nWritten by `make speed`, all in one run. %s.\n\nMedian (lowest to highest). The ratio is the first median over the second.\n\n", machine)
	b.WriteString("| what | measured | held against | measured | ratio |\n| --- | ---: | --- | ---: | ---: |\n")
	for _, row := range rows {
		if row.key == "" {
			fmt.Fprintf(&b, "| %s | | | | |\n", row.what)
			continue
		}
		a, err := r.of(row.key)
		if err != nil {
			return "", err
		}
		if row.against == "" {
			fmt.Fprintf(&b, "| %s | %s | | | |\n", row.what, spread(row.key, a))
			continue
		}
		than, err := r.of(row.against)
		if err != nil {
			return "", err
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %s | %.2f |\n", row.what, spread(row.key, a), row.than, spread(row.against, than), median(a)/median(than))
	}
	b.WriteString("\n## How it grows\n\n![Growth curves](curves.svg)\n\n| what | size | time |\n| --- | ---: | ---: |\n")
	for _, c := range growth {
		points, err := r.points(c)
		if err != nil {
			return "", err
		}
		for _, p := range points {
			fmt.Fprintf(&b, "| %s | %.0f %s | %s |\n", c.title, p.size, c.unit, spread("", p.runs))
		}
	}
	return b.String(), nil
}

// spread writes the median and the extremes of what a key counts: bytes, or
// else seconds.
func spread(key string, sorted []float64) string {
	write := duration
	if strings.HasSuffix(key, "-B") {
		write = func(b float64) string { return fmt.Sprintf("%.3g MB", b/1e6) }
	}
	return fmt.Sprintf("%s (%s to %s)", write(median(sorted)), write(sorted[0]), write(sorted[len(sorted)-1]))
}

// duration writes seconds with three digits.
func duration(s float64) string {
	for _, u := range []struct {
		name string
		of   float64
	}{{"s", 1}, {"ms", 1e-3}, {"µs", 1e-6}} {
		if s >= u.of {
			return fmt.Sprintf("%.3g %s", s/u.of, u.name)
		}
	}
	return fmt.Sprintf("%.3g ns", s*1e9)
}

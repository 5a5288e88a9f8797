package main

import (
	_ "embed"
	"fmt"
	"html/template"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// A curve is how the time of something grows with its size, which stands in the
// names of benchmarks.
type curve struct {
	title, unit string
	name        *regexp.Regexp // of the benchmark, the size its group
}

var growth = []curve{
	{"Judging", "reps", regexp.MustCompile(`^rootcue/engine Growth/reps=(\d+) sec/op$`)},
	{"A whole assessment", "faults", regexp.MustCompile(`^rootcue/engine Growth/assess/faults=(\d+) sec/op$`)},
	{"Standing of a tryout", "grades", regexp.MustCompile(`^rootcue/engine/panel Tryout/(\d+)grades sec/op$`)},
	{"First page of 50", "assessments stored", regexp.MustCompile(`SQLite/all/top/rows=(\d+) sec/op$`)},
	{"Page of 50 deep down", "assessments stored", regexp.MustCompile(`SQLite/all/deep/rows=(\d+) sec/op$`)},
}

type point struct {
	size float64
	runs []float64 // seconds, sorted
}

// points are a curve's, by size.
func (r results) points(c curve) (list []point, err error) {
	for key := range r {
		if m := c.name.FindStringSubmatch(key); m != nil {
			size, err := strconv.ParseFloat(m[1], 64)
			if err != nil {
				return nil, err
			}
			list = append(list, point{size, slices.Sorted(slices.Values(r[key]))})
		}
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("no benchmark for the curve %q was run", c.title)
	}
	slices.SortFunc(list, func(a, b point) int { return int(a.size - b.size) })
	return list, nil
}

// Each curve has a panel, both axes logarithmic.
const panelWidth, panelHeight, margin = 220.0, 200.0, 40.0

type mark struct {
	X, Y        float64
	Size, Takes string
}

type panel struct {
	Left        float64
	Title, Unit string
	Line        string
	Marks       []mark
}

//go:embed curves.svg.tmpl
var curvesText string

var curvesTemplate = template.Must(template.New("curves").Parse(curvesText))

// curves draws all panels.
func (r results) curves() (string, error) {
	var panels []panel
	for i, c := range growth {
		points, err := r.points(c)
		if err != nil {
			return "", err
		}
		panels = append(panels, panelOf(c, points, float64(i)*panelWidth))
	}
	var b strings.Builder
	err := curvesTemplate.Execute(&b, map[string]any{"Width": panelWidth * float64(len(growth)), "Height": panelHeight, "Panels": panels})
	return b.String(), err
}

// panelOf scales a decade of time like a decade of size.
func panelOf(c curve, points []point, left float64) panel {
	p := panel{Left: left, Title: c.title, Unit: c.unit}
	first, last := points[0], points[len(points)-1]
	decades := max(1, math.Log10(last.size/first.size))
	lowest := math.Inf(1)
	for _, at := range points {
		lowest = min(lowest, median(at.runs))
		decades = max(decades, math.Log10(median(at.runs)/lowest))
	}
	var line []string
	for _, at := range points {
		x := margin/2 + math.Log10(at.size/first.size)/decades*(panelWidth-2*margin)
		y := panelHeight - margin - math.Log10(median(at.runs)/lowest)/decades*(panelHeight-2.5*margin)
		p.Marks = append(p.Marks, mark{math.Round(x), math.Round(y), fmt.Sprintf("%.0f", at.size), duration(median(at.runs))})
		line = append(line, fmt.Sprintf("%.0f,%.0f", x, y))
	}
	p.Line = strings.Join(line, " ")
	return p
}

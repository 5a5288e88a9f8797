package pages

import (
	"rootcue/engine/rubric"
	"rootcue/engine/shape"
)

// Limits is what the editor of a rubric's limits shows.
type Limits struct {
	Name     string
	ETag     string // of the active version
	Version  int
	Extends  string // the rubric that this one builds on; "" for none
	Bands    []string
	Rows     []LimitRow
	Versions []Version
	Source   string
}

// A LimitRow is one fault's limit by band.
type LimitRow struct {
	Fault, Title string
	Measure      string // its title
	Kind         rubric.LimitKind
	Unit         string // in which the file gives the limit
	Cells        []LimitCell
	Source       string
	Note         string // the condition under which it holds, or the rule where there is no number
}

// A LimitCell is the limit for one band, as the file writes it. Fixed ones
// stand in the rubric that this one extends.
type LimitCell struct {
	Band   string
	Values []string // one, or the two ends; empty: no limit for this band
	Fixed  bool
	Unit   string // of a fixed one
}

// A Version is one entry in a rubric's history.
type Version struct {
	Number  int
	Active  bool
	At, Who string
	Why     string
	From    string // the first day on which it judges
}

// Rubrics lists the rubrics of a club.
type Rubrics struct {
	List []RubricLine
	May  bool // the visitor may edit them
}

// A RubricLine is one rubric in the list.
type RubricLine struct {
	Titled
	Version, Faults int
}

// NewLimits lays out the limits of a rubric, faults and outcomes in the order
// of the file.
func NewLimits(r *rubric.Rubric, source []byte) Limits {
	root, _ := shape.Read(r.Name, source) // it was read before: there are no slips
	l := Limits{Name: r.Name, Source: string(source), Extends: root.Get("extends").String()}
	for _, b := range r.Bands {
		l.Bands = append(l.Bands, b.Name)
	}
	for i := range r.Faults {
		l.Rows = append(l.Rows, limitRow(r, &r.Faults[i], root))
	}
	return l
}

func limitRow(r *rubric.Rubric, f *rubric.Fault, root *shape.Node) LimitRow {
	row := LimitRow{Fault: f.Name, Title: f.Title, Kind: f.Limit.Kind, Source: f.Limit.Source}
	if row.Source == "" {
		row.Source = f.Source
	}
	if f.When != nil {
		row.Note = f.When.Source()
		return row
	}
	if f.OnlyIf != nil {
		row.Note = f.OnlyIf.Source()
	}
	m := &r.Measures[f.Measure]
	row.Measure = m.Title
	if f.Limit.Kind == rubric.MustBe {
		return row
	}
	if m.Kind == rubric.Quantity {
		row.Unit = m.Unit.Name
	}
	if f.Limit.Unit != "" {
		row.Unit = f.Limit.Unit
	}
	section := "faults"
	if f.Outcome {
		section = "outcomes"
	}
	own := root.Get(section).Get(f.Name).Get(string(f.Limit.Kind))
	for band := range r.Bands {
		c := cell(&f.Limit, band, r.Bands[band].Name, own)
		if c.Fixed && row.Unit != m.Unit.Name {
			c.Unit = m.Unit.Name
		}
		row.Cells = append(row.Cells, c)
	}
	return row
}

// cell is the limit for a band: the file's own number, or the inherited one.
func cell(l *rubric.Limit, band int, name string, own *shape.Node) LimitCell {
	n := own
	if n != nil && n.Kind == shape.Map {
		if n = own.Get(name); n == nil {
			n = own.Get("value")
		}
	}
	c := LimitCell{Band: name}
	switch {
	case n == nil && l.Has[band]:
		c.Fixed, c.Values = true, l.Ends(band)
	case n == nil:
	case n.Kind == shape.List:
		for _, end := range n.Items() {
			c.Values = append(c.Values, end.Text)
		}
	default:
		c.Values = []string{n.Text}
	}
	return c
}

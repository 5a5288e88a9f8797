package pages

import (
	"math"
	"slices"
	"strconv"

	"rootcue/engine/rubric"
	"rootcue/engine/unit"
	"rootcue/internal/report/picture"
)

// Entry is what the evaluator's page shows.
type Entry struct {
	Rubrics []Titled
	Rubric  string // the one whose items are shown; "" when none is chosen
	Version int
	Groups  []ItemGroup
	Moments []string // to tap on the stop-watch, in the order of a throw
	Frames  []string // moments whose frame numbers can be typed
	Tryouts []Titled // open ones, by id
	Tryout  string   // id of the one that is graded; "" for a session
	Bibs    []string // who takes part in it
	Panel   []string // who grades at it
}

// ItemGroup is items under one heading, by the end of a key of the catalogue.
type ItemGroup struct {
	Name  string // eye, time, length
	Items []Item
}

// An Item is one thing to look for.
type Item struct {
	Name, Title string
	Kind        rubric.Kind
	Unit        string   // unit to enter; "" for a ratio
	Grades      []string // the grades of its scale
	From, To    string   // the moments a time lies between; "" for none
	Picture     *picture.Drawing
}

// between tells the moments that bound a time (contract of the measures).
var between = map[string][2]string{
	"change_time": {"catch", "transfer"}, "feet_lag": {"transfer", "back_foot_plant"}, "landing_time": {"catch", "front_foot_plant"},
	"plant_to_release": {"front_foot_plant", "release"}, "exchange_time": {"catch", "release"}, "pop_time": {"catch", "arrival"},
}

// inThrow are the moments of a throw that can be tapped or read off a clip, in
// their order.
var inThrow = []string{"catch", "transfer", "back_foot_plant", "front_foot_plant", "release", "arrival"}

// Show puts a rubric's items on the page.
func (e *Entry) Show(r *rubric.Rubric, version int) {
	e.Rubric, e.Version = r.Name, version
	groups := map[string][]Item{}
	tapped := map[string]bool{}
	for i := range r.Measures {
		m := &r.Measures[i]
		if m.BuiltIn || m.Formula != nil {
			continue
		}
		item := newItem(m)
		groups[groupOf(m)] = append(groups[groupOf(m)], item)
		tapped[item.From], tapped[item.To] = true, true
	}
	for _, name := range []string{"eye", "time", "length"} {
		if len(groups[name]) > 0 {
			e.Groups = append(e.Groups, ItemGroup{name, groups[name]})
		}
	}
	for _, m := range inThrow {
		if tapped[m] {
			e.Moments, e.Frames = append(e.Moments, m), append(e.Frames, m)
		}
	}
}

// Only leaves the items named, and puts others of no rubric before them, with
// what is seen by eye.
func (e *Entry) Only(names []string, own []Item) {
	eye := ItemGroup{"eye", own}
	var groups []ItemGroup
	for _, g := range e.Groups {
		g.Items = slices.DeleteFunc(g.Items, func(i Item) bool { return !slices.Contains(names, i.Name) })
		switch {
		case g.Name == "eye":
			eye.Items = append(eye.Items, g.Items...)
		case len(g.Items) > 0:
			groups = append(groups, g)
		}
	}
	if len(eye.Items) > 0 {
		groups = append([]ItemGroup{eye}, groups...)
	}
	e.Groups = groups
}

// NewItem is an item of no rubric: yes or no, or a grade of a scale.
func NewItem(name, title string, kind rubric.Kind, scale [2]float64) Item {
	return newItem(&rubric.Measure{Name: name, Title: title, Kind: kind, Scale: scale})
}

func groupOf(m *rubric.Measure) string {
	switch {
	case m.Kind != rubric.Quantity:
		return "eye"
	case m.Unit.Dim == unit.Time || m.Unit.Dim == unit.Speed:
		return "time"
	}
	return "length"
}

func newItem(m *rubric.Measure) Item {
	item := Item{Name: m.Name, Title: m.Title, Kind: m.Kind, From: between[m.Name][0], To: between[m.Name][1]}
	switch m.Kind {
	case rubric.Grade:
		for g := math.Ceil(m.Scale[0]); g <= m.Scale[1]; g++ {
			item.Grades = append(item.Grades, strconv.FormatFloat(g, 'g', -1, 64))
		}
	case rubric.Quantity:
		item.Unit = m.Enter.Name
		if item.Unit == "" {
			item.Unit = m.Unit.Name
		}
		item.Picture = drawn(m)
	}
	return item
}

// drawn shows on a body what a length or an angle is; what is wanted of it is
// left out, so that nobody grades towards it.
func drawn(m *rubric.Measure) *picture.Drawing {
	r := picture.Reading{Measure: m.Name, Share: m.Unit.Dim == unit.Share, Lo: math.Inf(-1), Hi: math.Inf(1)}
	if m.HasRange {
		r.Value = m.Plausible[0] + 0.6*(m.Plausible[1]-m.Plausible[0])
	}
	if !picture.IsBody(r) {
		return nil
	}
	d := picture.Of(r)
	return &d
}

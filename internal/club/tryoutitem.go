package club

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"rootcue/engine/panel"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/internal/store"
)

// A TryoutItem is something graded at a tryout. It is settled when the settings
// are kept, so that a rubric published later moves no standing.
type TryoutItem struct {
	Item   string      `json:"item" doc:"Its name"`
	Title  string      `json:"title" doc:"What evaluators read"`
	Kind   string      `json:"kind" enum:"grade,yes-no,quantity" doc:"What is entered"`
	Rubric string      `json:"rubric,omitempty" doc:"The rubric whose measure it is; absent for an item of the tryout's own"`
	Unit   string      `json:"unit,omitempty" doc:"In which a quantity is entered; absent for a pure number"`
	Range  *[2]float64 `json:"range,omitempty" doc:"Least and greatest value that is taken"`
	Side   int         `json:"side" doc:"1: more is better; -1: less is better; 0: neither by itself"`
	Weight float64     `json:"weight" doc:"What it counts in the score"`
}

// items settles what is graded.
func (c *Clubs) items(ctx context.Context, tx store.Tx, s *TryoutSettings) ([]TryoutItem, error) {
	var all []TryoutItem
	var found slips
	var bands []string
	for i, name := range s.Rubrics {
		v, err := c.inForce(ctx, tx, name)
		if errors.Is(err, store.ErrNotFound) {
			slip := unknownRubric(ctx, tx, name)
			slip.Pointer = fmt.Sprintf("/rubrics/%d", i)
			found = append(found, slip)
			continue
		}
		if err != nil {
			return nil, err
		}
		for _, b := range v.Rubric.Bands {
			bands = append(bands, b.Name)
		}
		all = addMeasures(all, v.Rubric)
	}
	for i, o := range s.OwnItems {
		at := fmt.Sprintf("/own_items/%d", i)
		if slices.Contains(itemNames(all), o.Item) {
			found.add("repeated", at+"/item", strconv.Quote(o.Item)+" twice", "a name that no other item of the tryout has", "")
		}
		if !o.scaled() {
			found.add("bad-scale", at+"/scale", fmt.Sprint(o.Scale), "for a grade the least and a greater one, both from -1000 to 1000; for yes or no none", "")
		}
		all = append(all, ownItem(o))
	}
	for i, b := range s.Bands {
		if len(s.Rubrics) > 0 {
			found.of("unknown-band", fmt.Sprintf("/bands/%d", i), b, distinct(bands))
		}
	}
	if found = append(found, s.check(all)...); len(found) > 0 {
		return nil, &Refusal{found}
	}
	all = s.atStations(all)
	for i := range all {
		all[i].Weight = s.weight(all, all[i].Item)
	}
	return all, nil
}

// addMeasures adds what can be entered of a rubric and is not there yet.
func addMeasures(all []TryoutItem, r *rubric.Rubric) []TryoutItem {
	for i := range r.Measures {
		m := &r.Measures[i]
		if m.BuiltIn || m.Formula != nil || slices.Contains(itemNames(all), m.Name) {
			continue
		}
		it := TryoutItem{Item: m.Name, Title: m.Title, Kind: string(m.Kind), Rubric: r.Name, Side: side(r, i)}
		switch m.Kind {
		case rubric.Grade:
			it.Range = &[2]float64{m.Scale[0], m.Scale[1]}
			if it.Side == 0 {
				it.Side = 1
			}
		case rubric.Quantity:
			it.Unit = cmp.Or(m.Enter.Name, m.Unit.Name)
		}
		all = append(all, it)
	}
	return all
}

func ownItem(o OwnItem) TryoutItem {
	it := TryoutItem{Item: o.Item, Title: o.Title, Kind: o.Kind, Side: 1}
	if len(o.Scale) == 2 {
		it.Range = &[2]float64{o.Scale[0], o.Scale[1]}
	}
	return it
}

// scaled reports whether the scale is one that fits the kind.
func (o OwnItem) scaled() bool {
	if o.Kind == string(rubric.YesNo) {
		return len(o.Scale) == 0
	}
	return len(o.Scale) == 2 && o.Scale[0] < o.Scale[1] && math.Abs(o.Scale[0]) <= 1000 && math.Abs(o.Scale[1]) <= 1000
}

// side is the side of a measure that its rubric's faults call good; 0 where
// they have none, two, or do not agree.
func side(r *rubric.Rubric, measure int) int {
	at := 0
	for i := range r.Faults {
		f := &r.Faults[i]
		if f.Measure != measure {
			continue
		}
		one := 0
		switch {
		case f.Limit.Kind == rubric.AtLeast, f.Limit.Kind == rubric.MustBe && f.Limit.MustBe:
			one = 1
		case f.Limit.Kind == rubric.AtMost, f.Limit.Kind == rubric.MustBe:
			one = -1
		}
		if one == 0 || at != 0 && at != one {
			return 0
		}
		at = one
	}
	return at
}

// settle gives the form in which a grade is kept: yes, no, or the shortest
// number; so the same grade in other words is the same.
func (i TryoutItem) settle(text string) (string, *place.Problem) {
	slip := func(code, wanted string) *place.Problem {
		return &place.Problem{Code: code, Found: strconv.Quote(text), Wanted: wanted + " for " + i.Item}
	}
	if i.Kind == string(rubric.YesNo) {
		yes, known := yesNo[strings.ToLower(text)]
		switch {
		case !known:
			return "", slip("bad-grade", "yes or no")
		case yes:
			return "yes", nil
		}
		return "no", nil
	}
	n, ok := numberOf(text)
	v, err := strconv.ParseFloat(string(n), 64)
	if !ok || err != nil || math.Abs(v) > 1e9 {
		return "", slip("bad-grade", i.wanted())
	}
	if i.Range != nil && (v < i.Range[0] || v > i.Range[1]) {
		return "", slip("out-of-scale", i.wanted())
	}
	return strconv.FormatFloat(v, 'g', -1, 64), nil
}

func (i TryoutItem) wanted() string {
	switch {
	case i.Range != nil:
		return fmt.Sprintf("a number from %g to %g", i.Range[0], i.Range[1])
	case i.Unit != "":
		return "a number in " + i.Unit
	}
	return "a number"
}

func itemNames(items []TryoutItem) []string {
	names := make([]string, len(items))
	for i := range items {
		names[i] = items[i].Item
	}
	return names
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// distinct sorts words and leaves each once.
func distinct(words []string) []string {
	return slices.Compact(slices.Sorted(slices.Values(words)))
}

// read gives a kept grade its value; false for what the item is not graded by.
func (i *TryoutItem) read(kept string, into *panel.Grade) bool {
	into.YesNo = i.Kind == string(rubric.YesNo)
	switch kept {
	case "yes", "no":
		if kept == "yes" {
			into.Value = 1
		}
		return into.YesNo
	}
	v, err := strconv.ParseFloat(kept, 64)
	into.Value = v
	return err == nil && !into.YesNo
}

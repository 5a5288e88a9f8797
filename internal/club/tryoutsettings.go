package club

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"rootcue/engine/civil"
	"rootcue/engine/panel"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
)

// TryoutSettings are what a club decides of a tryout.
type TryoutSettings struct {
	Name        string             `json:"name" minLength:"1" maxLength:"100" doc:"What the club calls it"`
	On          string             `json:"on" format:"date" doc:"The day"`
	Rubrics     []string           `json:"rubrics,omitempty" maxItems:"10" doc:"Names of rubrics: what can be entered of their measures is an item of the tryout"`
	OwnItems    []OwnItem          `json:"own_items,omitempty" maxItems:"40" doc:"Items that no rubric has"`
	Bands       []string           `json:"bands,omitempty" maxItems:"10" doc:"Age bands of the rubrics that are invited"`
	Stations    []Station          `json:"stations,omitempty" maxItems:"40" doc:"Where which items are graded and by whom. With stations, only their items are of the tryout; without, all"`
	Panel       []string           `json:"panel" minItems:"1" maxItems:"40" doc:"The club's references of its evaluators"`
	Assignments []Assignment       `json:"assignments,omitempty" maxItems:"40" doc:"Who looks at whom; an evaluator without one looks at everybody"`
	Looks       int                `json:"looks,omitempty" minimum:"1" maximum:"20" default:"2" doc:"By how many evaluators each player shall be seen on each item"`
	Weights     map[string]float64 `json:"weights,omitempty" doc:"What each item counts in the score, below zero where less is better; an item left out counts nothing. Without weights all count alike, a measure on the side its rubric's limit says; one whose limit has two sides or none counts nothing"`
	Best        int                `json:"best,omitempty" minimum:"1" maximum:"1000" default:"1" doc:"Places to be had: the standing gives the chance of being among so many"`
}

// An OwnItem is graded at this tryout and in no rubric.
type OwnItem struct {
	Item  string    `json:"item" pattern:"^[a-z0-9]+([-_][a-z0-9]+)*$" maxLength:"60" doc:"Its name, lower-case words joined by -"`
	Title string    `json:"title" minLength:"1" maxLength:"100" doc:"What evaluators read"`
	Kind  string    `json:"kind" enum:"grade,yes-no" doc:"A grade of a scale, or yes or no"`
	Scale []float64 `json:"scale,omitempty" minItems:"2" maxItems:"2" doc:"Of a grade: the least and the greatest; 1 to 5 when left out"`
}

// A Station is a place on the field where some items are graded.
type Station struct {
	Name       string   `json:"name" minLength:"1" maxLength:"100" doc:"What the club calls it"`
	Items      []string `json:"items" minItems:"1" maxItems:"100" doc:"What is graded there"`
	Evaluators []string `json:"evaluators,omitempty" maxItems:"40" doc:"Who stands there; the whole panel when left out"`
}

// An Assignment says whom an evaluator looks at.
type Assignment struct {
	Evaluator string   `json:"evaluator" doc:"Of the panel"`
	Bibs      []string `json:"bibs" maxItems:"1000" doc:"Whom to look at"`
}

// mostName bounds references of evaluators, in bytes, and mostBib a bib.
const (
	mostName = 100
	mostBib  = 20
)

// standard fills in what was left out.
func (s *TryoutSettings) standard() {
	if s.Looks == 0 {
		s.Looks = 2
	}
	if s.Best == 0 {
		s.Best = 1
	}
	for i := range s.OwnItems {
		if o := &s.OwnItems[i]; o.Kind == string(rubric.Grade) && len(o.Scale) == 0 {
			o.Scale = []float64{1, 5}
		}
	}
}

// slips gathers what is wrong with settings.
type slips []place.Problem

func (s *slips) add(code, pointer, found, wanted, hint string) {
	*s = append(*s, place.Problem{Code: code, Pointer: pointer, Found: found, Wanted: wanted, Hint: hint})
}

// of adds a slip unless a word is one of those known.
func (s *slips) of(code, pointer, word string, known []string) {
	if !slices.Contains(known, word) {
		s.add(code, pointer, strconv.Quote(word), oneOf(known), didYouMean(word, known))
	}
}

func oneOf(known []string) string {
	if len(known) == 0 {
		return "none: there is none here"
	}
	return "one of " + place.List(known)
}

func didYouMean(word string, known []string) string {
	if near := place.Nearest(word, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return ""
}

// check tells every slip of settings at once; all are the items their rubrics
// and own items give, before stations.
func (s *TryoutSettings) check(all []TryoutItem) (found slips) {
	if strings.TrimSpace(s.Name) == "" {
		found.add("missing-value", "/name", "no name", "what the club calls the tryout", "")
	}
	if _, err := civil.Parse(s.On); err != nil {
		found.add("bad-date", "/on", strconv.Quote(s.On), "a date such as 2026-03-14", "")
	}
	s.checkPanel(&found)
	names := itemNames(all)
	if len(names) == 0 {
		found.add("no-item", "", "nothing to grade", "rubrics or own_items", "")
		return found
	}
	for i, st := range s.Stations {
		for j, item := range st.Items {
			found.of("unknown-item", fmt.Sprintf("/stations/%d/items/%d", i, j), item, names)
		}
		for j, e := range st.Evaluators {
			found.of("unknown-evaluator", fmt.Sprintf("/stations/%d/evaluators/%d", i, j), e, s.Panel)
		}
	}
	s.checkWeights(&found, s.atStations(all))
	return found
}

// checkPanel looks at evaluators and whom they look at.
func (s *TryoutSettings) checkPanel(found *slips) {
	if len(s.Panel) == 0 {
		found.add("no-panel", "/panel", "no evaluator", "at least one", "")
	}
	for i, e := range s.Panel {
		at := fmt.Sprintf("/panel/%d", i)
		switch {
		case badName(e, mostName):
			found.add("bad-name", at, strconv.Quote(e), nameWanted(mostName), "")
		case slices.Index(s.Panel, e) < i:
			found.add("repeated", at, strconv.Quote(e)+" twice", "each evaluator once", "")
		}
	}
	for i, a := range s.Assignments {
		at := fmt.Sprintf("/assignments/%d", i)
		found.of("unknown-evaluator", at+"/evaluator", a.Evaluator, s.Panel)
		if slices.IndexFunc(s.Assignments, func(b Assignment) bool { return b.Evaluator == a.Evaluator }) < i {
			found.add("repeated", at, "a second assignment of "+a.Evaluator, "one with all bibs", "")
		}
		for j, bib := range a.Bibs {
			if badName(bib, mostBib) {
				found.add("bad-bib", fmt.Sprintf("%s/bibs/%d", at, j), strconv.Quote(bib), nameWanted(mostBib), "")
			}
		}
	}
}

// checkWeights looks at what counts, and whether the panel can be judged at once.
func (s *TryoutSettings) checkWeights(found *slips, items []TryoutItem) {
	names := itemNames(items)
	for _, name := range sortedKeys(s.Weights) {
		found.of("unknown-item", "/weights/"+name, name, names)
		if w := s.Weights[name]; math.Abs(w) > 1e6 {
			found.add("bad-weight", "/weights/"+name, strconv.FormatFloat(w, 'g', -1, 64), "a number from -1e6 to 1e6", "")
		}
	}
	counts := slices.ContainsFunc(items, func(i TryoutItem) bool { return s.weight(items, i.Item) != 0 })
	if !counts && len(*found) == 0 {
		found.add("no-weight", "/weights", "no item that counts", "a weight other than zero for at least one of "+place.List(names), "a measure without a one-sided limit in its rubric counts only with a weight")
	}
	columns := 0
	for _, i := range items {
		for _, e := range s.Panel {
			if s.stands(e, i.Item) {
				columns++
			}
		}
	}
	if columns > panel.MostColumns {
		found.add("too-large", "/stations", fmt.Sprintf("%d pairs of an item and an evaluator", columns), fmt.Sprintf("at most %d", panel.MostColumns), "name in stations the items that are graded, and who stands there")
	}
}

// atStations are the items of the stations; all without any.
func (s *TryoutSettings) atStations(all []TryoutItem) []TryoutItem {
	if len(s.Stations) == 0 {
		return all
	}
	return slices.DeleteFunc(slices.Clone(all), func(i TryoutItem) bool {
		return !slices.ContainsFunc(s.Stations, func(st Station) bool { return slices.Contains(st.Items, i.Item) })
	})
}

// stands reports whether an evaluator grades an item somewhere.
func (s *TryoutSettings) stands(evaluator, item string) bool {
	return len(s.Stations) == 0 || slices.ContainsFunc(s.Stations, func(st Station) bool {
		return slices.Contains(st.Items, item) && (len(st.Evaluators) == 0 || slices.Contains(st.Evaluators, evaluator))
	})
}

// looks reports whether an evaluator shall look at a player.
func (s *TryoutSettings) looksAt(evaluator, bib string) bool {
	i := slices.IndexFunc(s.Assignments, func(a Assignment) bool { return a.Evaluator == evaluator })
	return i < 0 || slices.Contains(s.Assignments[i].Bibs, bib)
}

// weight is what an item counts.
func (s *TryoutSettings) weight(items []TryoutItem, name string) float64 {
	if len(s.Weights) > 0 {
		return s.Weights[name]
	}
	sided, side := 0, 0
	for _, i := range items {
		if i.Side != 0 {
			sided++
		}
		if i.Item == name {
			side = i.Side
		}
	}
	if sided == 0 {
		return 0
	}
	return float64(side) / float64(sided)
}

// badName reports what is no reference: empty, too long, with blanks around it
// or with a character that would break a line of a table.
func badName(s string, most int) bool {
	return s == "" || len(s) > most || strings.TrimSpace(s) != s || strings.ContainsAny(s, "\x00\r\n\t,;\"/")
}

func nameWanted(most int) string {
	return fmt.Sprintf(`1 to %d bytes without blanks around them, commas, semicolons, quotes, slashes and line breaks`, most)
}

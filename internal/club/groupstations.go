package club

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"rootcue/engine/place"
	"rootcue/engine/practice"
	"rootcue/engine/shape"
)

// A GroupStation is a drill at which players can take a turn.
type GroupStation struct {
	Drill  string `json:"drill"`
	Title  string `json:"title" doc:"Its name for people"`
	Dose   string `json:"dose" doc:"How much of it a turn is"`
	Places int    `json:"places" doc:"Players at once"`
	Throws int    `json:"throws" doc:"By each player in a turn"`
	Helper bool   `json:"helper" doc:"Needs one of the helpers for the whole practice"`

	minutes float64 // a dose takes
}

// A StationAsked is a station as an instructor wants it; what is left out is
// the rubric's.
type StationAsked struct {
	Drill  string `json:"drill" minLength:"1" maxLength:"100" doc:"A drill of a rubric in force"`
	Places *int   `json:"places,omitempty" minimum:"1" maximum:"1000" doc:"Players at once"`
	Throws *int   `json:"throws,omitempty" minimum:"0" maximum:"1000" doc:"By each player in a turn; 0 is refused for a drill that throws"`
	Helper *bool  `json:"helper,omitempty" doc:"Needs one of the helpers for the whole practice"`
}

// drillsOf are the drills of all rubrics in force, by name. A drill that two of
// them have takes the fewer places and the more throws.
func drillsOf(rubrics []*Version) map[string]GroupStation {
	all := map[string]GroupStation{}
	for _, v := range rubrics {
		for _, d := range v.Rubric.Drills {
			s := GroupStation{d.Name, d.Title, d.Dose, d.Places, d.Throws, d.Helper, d.Minutes}
			if known, twice := all[d.Name]; twice {
				s.Places, s.Throws = min(s.Places, known.Places), max(s.Throws, known.Throws)
				s.Helper, s.minutes = s.Helper || known.Helper, max(s.minutes, known.minutes)
			}
			all[d.Name] = s
		}
	}
	return all
}

// stationsAsked are the stations that were asked for. A drill that throws
// cannot be declared one that does not.
func stationsAsked(asked []StationAsked, all map[string]GroupStation) (list []GroupStation, slips []place.Problem) {
	names := []string{}
	for name := range all {
		names = append(names, name)
	}
	slices.Sort(names)
	for i, a := range asked {
		at := fmt.Sprintf("/stations/%d", i)
		s, known := all[a.Drill]
		if !known {
			slips = append(slips, place.Problem{Code: "unknown-drill", Pointer: at + "/drill", Found: strconv.Quote(a.Drill), Wanted: "a drill of a rubric in force: " + place.List(names), Hint: shape.DidYouMean(a.Drill, names)})
			continue
		}
		if a.Throws != nil && *a.Throws == 0 && s.Throws > 0 {
			slips = append(slips, place.Problem{Code: "drill-throws", Pointer: at + "/throws", Found: "0", Wanted: fmt.Sprintf("the throws of a turn, %d by the rubric", s.Throws), Hint: "the rules on the arm count them"})
			continue
		}
		if a.Places != nil {
			s.Places = *a.Places
		}
		if a.Throws != nil {
			s.Throws = *a.Throws
		}
		if a.Helper != nil {
			s.Helper = *a.Helper
		}
		list = append(list, s)
	}
	return list, slips
}

// stationsFor are the drills that would help somebody, those that help most
// first if there are too many. One that takes longer than a turn is left out,
// and said.
func stationsFor(players []practice.Player, all map[string]GroupStation, turn int) (list []GroupStation, left []practice.Leaving) {
	gain := map[string]float64{}
	for _, p := range players {
		for drill, s := range p.Gains {
			gain[drill] += s
		}
	}
	for drill, s := range all {
		switch {
		case !(gain[drill] > 0):
		case s.minutes > float64(turn):
			left = append(left, practice.Leaving{Drill: drill, Says: fmt.Sprintf("takes %g minutes; a turn has %d", s.minutes, turn)})
		default:
			list = append(list, s)
		}
	}
	slices.SortFunc(left, func(x, y practice.Leaving) int { return cmp.Compare(x.Drill, y.Drill) })
	slices.SortFunc(list, func(x, y GroupStation) int {
		return cmp.Or(cmp.Compare(gain[y.Drill], gain[x.Drill]), cmp.Compare(x.Drill, y.Drill))
	})
	list = list[:min(len(list), practice.MostStations)]
	slices.SortFunc(list, func(x, y GroupStation) int { return cmp.Compare(x.Drill, y.Drill) })
	return list, left
}

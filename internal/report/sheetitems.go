package report

import (
	"fmt"
	"strings"

	"rootcue/engine/marks"
	"rootcue/engine/rubric"
)

// unitToWrite is what stands in the form beside an item.
func unitToWrite(m *rubric.Measure) string {
	switch {
	case m.Kind == rubric.YesNo:
		return "yes / no"
	case m.Kind == rubric.Grade:
		return fmt.Sprintf("%g to %g", m.Scale[0], m.Scale[1])
	case m.Enter.Name != "":
		return m.Enter.Name
	}
	return m.Unit.Name
}

// byEyeViews tells from where an item is best seen that marks do not give
// (common practice).
var byEyeViews = map[string]string{
	"mitt_open":           "ahead, by eye",
	"hand_protected":      "ahead or side, by eye",
	"hand_height_set":     "side, by eye",
	"front_shoulder_open": "behind or ahead, by eye",
	"arrival_height":      "at the bag, by eye",
	"arrival_side":        "at the bag, by eye",
	"bounced":             "at the bag, by eye",
	"follow_through":      "side or behind, by eye",
}

// viewOf is where an item is seen.
func viewOf(measure string) string {
	views, byFrames, known := marks.ShownBy(measure)
	switch {
	case byFrames:
		return "any camera, by frames"
	case known:
		names := make([]string, len(views))
		for i, v := range views {
			names[i] = v.String()
		}
		return strings.Join(names, " or ")
	case byEyeViews[measure] != "":
		return byEyeViews[measure]
	}
	return "by eye"
}

// camerasFor lists the cameras that show at least one of the items.
func camerasFor(items []SheetItem) []SheetCamera {
	cams := []SheetCamera{}
	for v, where := range cameraPlaces {
		shows := []string{}
		for _, item := range items {
			views, byFrames, _ := marks.ShownBy(item.Measure)
			for _, w := range views {
				if int(w) == v && (!byFrames || w == marks.Beside) {
					shows = append(shows, item.Measure)
				}
			}
		}
		if len(shows) > 0 {
			cams = append(cams, SheetCamera{marks.View(v).String(), where, shows})
		}
	}
	return cams
}

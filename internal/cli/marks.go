package cli

import (
	"fmt"
	"math"

	"rootcue/engine/marks"
	"rootcue/engine/measure"
	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/engine/unit"
)

// marksCmd shows what the marks of an observation come to.
type marksCmd struct {
	Rubric string `help:"Read by this rubric instead of the one the observation names." placeholder:"NAME|FILE"`
	Format string `help:"How to answer: text or json." enum:"text,json" default:"text"`
	File   string `arg:"" help:"An observation document with marks, JSON or NDJSON; - reads standard input."`
}

// Help is the example shown by --help.
func (marksCmd) Help() string {
	return "Example:\n  rootcue marks testdata/marks/track.json"
}

// Run prints each measure derived from marks, with its standard uncertainty
// and the marks it came from.
func (c *marksCmd) Run(s *streams) error {
	shelf, err := newShelf(c.Rubric)
	if err != nil {
		return err
	}
	in, err := openInput(c.File, s)
	if err != nil {
		return err
	}
	defer in.Close()
	bad, n := 0, 0
	err = eachDocument(c.File, in, func(d document) error {
		n++
		reply, problems := marksOf(d, shelf)
		if reply == nil {
			bad++
			for i := range problems {
				problems[i].File = d.file
			}
			fmt.Fprint(s.Err, place.Render(problems, nil))
			return nil
		}
		if c.Format == "json" {
			return printJSON(s.Out, reply)
		}
		return printLines(s.Out, reply.text())
	})
	if err != nil {
		return err
	}
	if bad > 0 {
		return badInput("%d of %d observations not read", bad, n)
	}
	return nil
}

// A marksReply is what the marks of one observation come to.
type marksReply struct {
	Rubric   string         `json:"rubric"`
	Player   string         `json:"player"`
	StatureM float64        `json:"stature_m"`
	Reps     []marksRep     `json:"reps"`
	Notes    []measure.Note `json:"notes"`
}

type marksRep struct {
	Rep      int            `json:"rep"`
	Clip     string         `json:"clip,omitempty"`
	Measures []marksMeasure `json:"measures"`
}

type marksMeasure struct {
	Measure string  `json:"measure"`
	Value   float64 `json:"value"`
	U       float64 `json:"u"` // standard uncertainty, same unit
	Unit    string  `json:"unit"`
	From    string  `json:"from"`
}

func marksOf(d document, shelf *rubricShelf) (*marksReply, []place.Problem) {
	if d.tooLong {
		return nil, []place.Problem{{Code: "too-long", Found: fmt.Sprintf("a document of more than %d bytes", maxDocument), Wanted: "a shorter one"}}
	}
	o, problems := observation.Decode(d.data)
	if o == nil {
		return nil, problems
	}
	rub, problem := shelf.of(o.Rubric)
	if problem != nil {
		return nil, []place.Problem{*problem}
	}
	sheet, problems := measure.Read(rub, o)
	if sheet == nil {
		return nil, problems
	}
	reply := &marksReply{Rubric: rub.Name, Player: o.Player.Ref, StatureM: sevenPlaces(sheet.Stature.X), Notes: append([]measure.Note{}, sheet.Notes...)}
	for i, derived := range sheet.FromMarks(o) {
		rep := marksRep{Rep: o.Reps[i].Number, Clip: o.Reps[i].Clip, Measures: []marksMeasure{}}
		for _, one := range derived {
			rep.Measures = append(rep.Measures, inUnits(sheet, one))
		}
		reply.Reps = append(reply.Reps, rep)
	}
	return reply, nil
}

// inUnits gives a measure in the rubric's unit; one the rubric does not list
// stays in the unit it was derived in.
func inUnits(sheet *measure.Sheet, d marks.Derived) marksMeasure {
	to := unit.Must(d.Unit)
	if m := sheet.Rubric.MeasureNamed(d.Measure); m >= 0 && unit.Must(d.Unit).Matches(sheet.Rubric.Measures[m].Unit) {
		to = sheet.Rubric.Measures[m].Unit
	}
	in := func(x float64) float64 { return sevenPlaces(unit.Must(d.Unit).Convert(x, to, sheet.Stature.X)) }
	return marksMeasure{Measure: d.Measure, Value: in(d.Value.X), U: in(d.Value.U()), Unit: to.Name, From: d.From}
}

// sevenPlaces rounds a number to 7 decimals, as in every JSON answer.
func sevenPlaces(x float64) float64 { return math.Round(x*1e7) / 1e7 }

// text is the reply for a terminal, numbers to what u supports.
func (r *marksReply) text() []string {
	lines := []string{fmt.Sprintf("%s   rubric %s", r.Player, r.Rubric)}
	if r.StatureM > 0 {
		lines[0] += fmt.Sprintf("   stature %.1f cm", 100*r.StatureM)
	}
	for _, rep := range r.Reps {
		head := fmt.Sprintf("rep %d", rep.Rep)
		if rep.Clip != "" {
			head += "   " + rep.Clip
		}
		if len(rep.Measures) == 0 {
			head += ": no measure from marks"
		}
		lines = append(lines, "", head)
		for _, m := range rep.Measures {
			lines = append(lines, fmt.Sprintf("  %-22s %-24s %s", m.Measure, withU(m.Value, m.U, m.Unit), m.From))
		}
	}
	for i, n := range r.Notes {
		if i == 0 {
			lines = append(lines, "")
		}
		lines = append(lines, "note: "+n.Says)
	}
	return lines
}

package report

import (
	"html/template"
	"math"
	"strings"

	"rootcue/internal/report/picture"
)

// sinceMost is how many measures the family part follows.
const sinceMost = 6

// sinceShown is what changed.
type sinceShown struct {
	Band string
	Rows []rowShown
}

// rowShown is one measure over time.
type rowShown struct {
	Picture *drawing
	Says    template.HTML
	Word    string
	Least   string
}

func (v *view) since() *sinceShown {
	if v.in.Since == nil {
		return nil
	}
	s := &sinceShown{}
	if v.in.Since.BandChanged {
		s.Band = v.say.say("since.band")
	}
	for _, row := range v.in.Since.Rows {
		if len(row.Points) > 1 && len(s.Rows) < sinceMost {
			s.Rows = append(s.Rows, v.row(row))
		}
	}
	if s.Band == "" && len(s.Rows) == 0 {
		return nil
	}
	return s
}

func (v *view) row(row Row) rowShown {
	d := v.displayOf(row.Measure, row.Unit)
	title := v.measureTitle(row.Measure)
	var dots []picture.Dot
	var values []string
	for _, p := range row.Points {
		dots = append(dots, picture.Dot{Value: p.Value, U: p.U})
		values = append(values, v.amount(d, p.Value, p.U))
	}
	n := len(values)
	lo, hi := v.limitsOf(row.Measure)
	out := rowShown{
		Says: v.html("since.from", "title", foreign(title), "before", values[n-2], "after", values[n-1]),
		Word: v.say.say("since." + string(row.Word)),
		Picture: v.draw(picture.Trend(dots, lo, hi), v.say.say("since.trend.title", "title", title),
			v.say.say("since.trend.desc", "n", number(n), "values", strings.Join(values, ", "))),
	}
	if row.Least > 0 && !math.IsInf(row.Least, 0) {
		out.Least = v.say.say("since.least", "least", limitText(roundTo(row.Least*d.factor, 2))+v.unitWord(d.unit))
	}
	return out
}

// limitsOf are the ends of what is wanted of a measure, from all faults it shows.
func (v *view) limitsOf(measure string) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	for i := range v.a.Findings {
		f := &v.a.Findings[i]
		if own := ownRead(f); own != nil && own.Name == measure {
			l, h := bounds(f.Limit)
			lo, hi = math.Max(lo, l), math.Min(hi, h)
		}
	}
	return lo, hi
}

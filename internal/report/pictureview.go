package report

import (
	"math"

	"rootcue/engine"
	"rootcue/engine/rubric"
	"rootcue/engine/unit"
	"rootcue/internal/report/picture"
)

// marksOf are the keys of what a measure counts from, where its drawing shows it.
var marksOf = map[string]string{
	"hand_height_set": "mark.hip", "transfer_height": "mark.shoulder", "ball_drop": "mark.change",
	"drawback": "mark.ear", "elbow_height_release": "mark.shoulders",
}

// picture draws what a finding rests on; nil if nothing was read.
func (v *view) picture(f *engine.Finding) *drawing {
	own := ownRead(f)
	if own == nil {
		return v.ticks(f)
	}
	r, d := v.reading(f, own)
	title := v.say.say("picture.title", "title", v.measureTitle(own.Name))
	kind := "picture.desc.line"
	if picture.IsBody(r) {
		kind = "picture.desc.body"
	}
	r.Words = picture.Words{Seen: v.seen(own, d), Wanted: v.wanted(own.Name, f.Limit, d), Target: v.say.say("mark.target")}
	if key, ok := marksOf[own.Name]; ok {
		r.Words.Mark = v.say.say(key)
	}
	return v.draw(picture.Of(r), title, v.say.say(kind, "seen", r.Words.Seen, "wanted", r.Words.Wanted))
}

// seen writes what was read of a measure; a grade says of what scale it is.
func (v *view) seen(own *engine.Read, d display) string {
	value := v.place(own.Name, d, float64(own.Value), float64(own.U))
	if v.in.Rubric != nil {
		if i := v.in.Rubric.MeasureNamed(own.Name); i >= 0 && v.in.Rubric.Measures[i].Kind == rubric.Grade {
			scale := v.in.Rubric.Measures[i].Scale
			return v.say.say("seen.grade", "value", value, "lo", limitText(scale[0]), "hi", limitText(scale[1]))
		}
	}
	return v.say.say("seen", "value", value)
}

// ownRead is the read of the finding's own measure; nil for a yes-no item and
// for a condition.
func ownRead(f *engine.Finding) *engine.Read {
	if f.Limit == (engine.Limit{}) || f.Limit.MustBe != nil || len(f.Why.Reads) == 0 {
		return nil
	}
	return &f.Why.Reads[0]
}

// ticks draws a yes-no item, or a condition, try by try.
func (v *view) ticks(f *engine.Finding) *drawing {
	past, of := tries(f)
	if of == 0 {
		return nil
	}
	w := picture.Words{Seen: v.say.say("ticks.seen", "k", number(of-past), "n", number(of)), Wanted: v.wanted("", f.Limit, display{})}
	title := v.say.say("picture.title", "title", f.Title)
	return v.draw(picture.Ticks(of-past, of, w), title, v.say.say("picture.desc.ticks", "seen", w.Seen, "wanted", w.Wanted))
}

// bounds are a limit's two ends, ±Inf where one is open.
func bounds(l engine.Limit) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	switch {
	case l.AtMost != nil:
		hi = float64(*l.AtMost)
	case l.AtLeast != nil:
		lo = float64(*l.AtLeast)
	case l.Between != nil:
		lo, hi = float64(l.Between[0]), float64(l.Between[1])
	}
	return lo, hi
}

// reading is a finding's own measure as drawings take it: body lengths in
// shares of stature where that is known, angles in degrees, times in seconds.
func (v *view) reading(f *engine.Finding, own *engine.Read) (picture.Reading, display) {
	r := picture.Reading{Measure: own.Name, Value: float64(own.Value), U: float64(own.U)}
	r.Lo, r.Hi = bounds(f.Limit)
	factor := 1.0
	if u, ok := unit.Parse(own.Unit); ok {
		stature := float64(v.a.Player.StatureM)
		switch {
		case u.Dim == unit.Share:
			r.Share = true
		case u.Dim == unit.Length && stature > 0:
			r.Share, factor = true, u.Convert(1, unit.Must("stature"), stature)
		case u.Dim == unit.Angle:
			factor = u.Convert(1, unit.Must("deg"), 0)
		case u.Dim == unit.Time:
			factor = u.Convert(1, unit.Must("s"), 0)
		}
	}
	r.Value, r.U, r.Lo, r.Hi = r.Value*factor, r.U*factor, r.Lo*factor, r.Hi*factor
	return r, v.displayOf(own.Name, own.Unit)
}

// sidesOf are the keys of what a measure lies above or below: a family is told
// the side in words and not by a sign.
var sidesOf = map[string]string{"hand_height_set": "of.hip", "transfer_height": "of.shoulder", "elbow_height_release": "of.shoulders"}

// place writes a measure's value; with u below 0 it is a limit, which is exact.
func (v *view) place(measure string, d display, value, u float64) string {
	side := "side.above"
	if sidesOf[measure] == "" {
		side = ""
	} else if value < 0 {
		side, value = "side.below", -value
	}
	text := v.amount(d, value, u)
	if u < 0 {
		text = limitText(value*d.factor) + v.unitWord(d.unit)
	}
	if side == "" {
		return text
	}
	return v.say.say(side, "value", text, "mark", v.say.say(sidesOf[measure]))
}

// exact marks a value as a limit.
const exact = -1

// wanted says where a measure is wanted. At least a place below the mark is at
// most so far below it.
func (v *view) wanted(measure string, l engine.Limit, d display) string {
	lo, hi := bounds(l)
	sided := sidesOf[measure] != ""
	at := func(x float64) string { return v.place(measure, d, x, exact) }
	switch {
	case l.MustBe != nil && *l.MustBe:
		return v.say.say("wanted.yes")
	case l.MustBe != nil:
		return v.say.say("wanted.no")
	case l.Between != nil:
		return v.say.say("wanted.between", "lo", at(lo), "hi", at(hi))
	case l.AtMost != nil && sided && hi < 0:
		return v.say.say("wanted.least", "lo", at(hi))
	case l.AtLeast != nil && sided && lo < 0:
		return v.say.say("wanted.most", "hi", at(lo))
	case l.AtMost != nil:
		return v.say.say("wanted.most", "hi", at(hi))
	case l.AtLeast != nil:
		return v.say.say("wanted.least", "lo", at(lo))
	}
	return ""
}

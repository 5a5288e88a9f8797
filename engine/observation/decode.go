package observation

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"rootcue/engine/civil"
	"rootcue/engine/marks"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/engine/strictjson"
	"rootcue/engine/unit"
)

// Decode reads one observation document. The problems, in the order of the
// document, each have a JSON Pointer; with any of them the observation is nil.
func Decode(data []byte) (*Observation, []place.Problem) {
	return DecodeBeside(data, nil, nil)
}

// DecodeBeside is Decode for a document with further keys beside the
// observation's own: read reads the value of each.
func DecodeBeside(data []byte, keys []string, read func(r *strictjson.Reader, key string)) (*Observation, []place.Problem) {
	o := &Observation{}
	problems := strictjson.Read(data, func(r *strictjson.Reader) {
		readDocument(r, o, func(key string) {
			if slices.Contains(keys, key) {
				read(r, key)
				return
			}
			r.Unknown(key, append(slices.Clone(documentKeys), keys...))
		})
	})
	if len(problems) > 0 {
		return nil, problems
	}
	return o, nil
}

var (
	documentKeys = []string{"rubric", "player", "on", "conditions", "reps", "rater", "session"}
	playerKeys   = []string{"ref", "age", "born", "stature_cm", "stature_on", "throws"}
	repKeys      = []string{"rep", "clip", "conditions", "measures", "marks", "held"}
	quantityKeys = []string{"value", "u", "unit"}
)

func readDocument(r *strictjson.Reader, o *Observation, other func(key string)) {
	var has [3]bool
	isObject := r.IsObject()
	r.Object(func(key string) {
		switch key {
		case "rubric":
			o.Rubric = optionalText(r, "a rubric's name")
		case "player":
			has[0] = true
			readPlayer(r, &o.Player)
		case "on":
			has[1] = true
			o.On = readDate(r)
		case "conditions":
			readConditions(r, &o.Conditions)
		case "reps":
			has[2] = true
			readReps(r, o)
		case "rater":
			o.Rater = optionalText(r, "the evaluator's reference")
		case "session":
			o.Session = optionalText(r, "a session's reference")
		default:
			other(key)
		}
	})
	if r.Broken() || !isObject {
		return
	}
	for i, key := range []string{"player", "on", "reps"} {
		if !has[i] {
			missing(r, "", key)
		}
	}
}

func missing(r *strictjson.Reader, parent, key string) {
	r.Report(place.Problem{Code: "missing-key", Pointer: parent, Found: "no " + strconv.Quote(key), Wanted: strconv.Quote(key) + " here"})
}

func optionalText(r *strictjson.Reader, wanted string) string {
	if r.Null() {
		return ""
	}
	s, ok := r.Text(wanted)
	if ok && len(s) > 200 {
		r.Problem("too-long", fmt.Sprintf("a text of %d bytes", len(s)), wanted+" of at most 200 bytes", "")
	}
	return s
}

func readDate(r *strictjson.Reader) civil.Date {
	const wanted = "a date such as 2026-05-09"
	s, ok := r.Text(wanted)
	if !ok {
		return civil.Date{}
	}
	d, err := civil.Parse(s)
	if err != nil {
		r.Problem("bad-date", strconv.Quote(s), wanted, "")
	}
	return d
}

func readPlayer(r *strictjson.Reader, p *Player) {
	if !r.IsObject() {
		r.Object(nil)
		return
	}
	hasAge, hasBorn := false, false
	r.Object(func(key string) {
		switch key {
		case "ref":
			p.Ref = optionalText(r, "the club's reference of the player")
		case "age":
			hasAge = readAge(r, p)
		case "born":
			hasBorn = readBorn(r, p)
		case "stature_cm":
			readStature(r, p)
		case "stature_on":
			if !r.Null() {
				p.StatureOn = readDate(r)
			}
		case "throws":
			readThrows(r, p)
		default:
			r.Unknown(key, playerKeys)
		}
	})
	if r.Broken() {
		return
	}
	const at = "/player"
	if p.Ref == "" {
		missing(r, at, "ref")
	}
	if !hasAge && !hasBorn {
		r.Report(place.Problem{Code: "missing-key", Pointer: at, Found: "neither \"age\" nor \"born\"", Wanted: "the playing age in years, or the month of birth as YYYY-MM"})
	}
}

func readAge(r *strictjson.Reader, p *Player) bool {
	if r.Null() {
		return false
	}
	const wanted = "the playing age in whole years"
	v, ok := r.Int(wanted)
	if ok && (v < 1 || v > 99) {
		r.Problem("out-of-range", strconv.Itoa(v), wanted+", 1 to 99", "")
	}
	p.Age = v
	return true
}

func readBorn(r *strictjson.Reader, p *Player) bool {
	if r.Null() {
		return false
	}
	const wanted = "the month of birth as YYYY-MM"
	s, ok := r.Text(wanted)
	if !ok {
		return true
	}
	d, err := civil.Parse(s + "-01")
	if err != nil || len(s) != 7 {
		r.Problem("bad-date", strconv.Quote(s), wanted, "")
		return true
	}
	p.BornYear, p.BornMonth = d.Year, d.Month
	return true
}

func readStature(r *strictjson.Reader, p *Player) {
	if r.Null() {
		return
	}
	const wanted = "the standing height in cm, 70 to 230"
	v, ok := r.Float(wanted)
	if ok && (v < 70 || v > 230) {
		r.Problem("out-of-range", strconv.FormatFloat(v, 'g', -1, 64), wanted, "")
	}
	p.StatureCM = v
}

func readThrows(r *strictjson.Reader, p *Player) {
	if r.Null() {
		return
	}
	s, ok := r.Text("left or right")
	if ok && s != "left" && s != "right" {
		r.Problem("unknown-word", strconv.Quote(s), "left or right", "")
	}
	p.Throws = s
}

func readConditions(r *strictjson.Reader, c *Conditions) {
	if r.Null() {
		return
	}
	r.Object(func(key string) {
		if r.Null() {
			return
		}
		at := rubric.ConditionNamed(key)
		switch {
		case at < 0:
			r.Unknown(key, rubric.ConditionNames[:])
		case at == rubric.BasePath:
			c.BasePath = &Reading{Measure: key}
			readReading(r, c.BasePath)
			if c.BasePath.YesNo {
				r.Problem("wrong-type", "a yes-no value", "a length", "")
			}
		case rubric.Enumerations[at] != nil:
			c.Words[at] = readWord(r, rubric.Enumerations[at])
		default:
			v, _ := r.Bool("true or false")
			if at == rubric.Thrown {
				c.Thrown = &v
			} else {
				c.RunnerMayLead = &v
			}
		}
	})
}

func readWord(r *strictjson.Reader, words []string) string {
	s, ok := r.Text(place.List(words))
	if !ok {
		return ""
	}
	for _, w := range words {
		if w == s {
			return s
		}
	}
	hint := ""
	if near := place.Nearest(s, words); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	r.Problem("unknown-word", strconv.Quote(s), place.List(words), hint)
	return ""
}

// MostReps bounds the reps of one document; nobody throws as often on a day.
const MostReps = 1000

// CodeTooMany is the code of the slip of a document with more.
const CodeTooMany = "too-many"

func readReps(r *strictjson.Reader, o *Observation) {
	numbers := map[int]int{}
	r.Array(func(i int) {
		if i >= MostReps {
			r.Skip()
			if i == MostReps {
				r.Problem(CodeTooMany, fmt.Sprintf("more than %d reps", MostReps), fmt.Sprintf("at most %d in a document", MostReps), "send them as several documents")
			}
			return
		}
		o.Reps = append(o.Reps, Rep{})
		rep := &o.Reps[i]
		hasNumber := !r.IsObject()
		r.Object(func(key string) {
			if key == "rep" {
				hasNumber = readNumber(r, rep, i, numbers)
				return
			}
			readRepKey(r, rep, key)
		})
		if !hasNumber && !r.Broken() {
			missing(r, fmt.Sprintf("/reps/%d", i), "rep")
		}
	})
}

func readNumber(r *strictjson.Reader, rep *Rep, i int, numbers map[int]int) bool {
	const wanted = "the rep's number, 0 or more"
	v, ok := r.Int(wanted)
	if !ok {
		return true
	}
	if v < 0 {
		r.Problem("out-of-range", strconv.Itoa(v), wanted, "number the reps 1, 2, 3 …")
	}
	if first, again := numbers[v]; again {
		r.Problem("repeated-rep", fmt.Sprintf("rep %d again, first at /reps/%d", v, first), "each rep number once", "number the reps 1, 2, 3 …")
	}
	numbers[v], rep.Number = i, v
	return true
}

func readRepKey(r *strictjson.Reader, rep *Rep, key string) {
	switch key {
	case "clip":
		rep.Clip = optionalText(r, "the club's pointer to the footage")
	case "conditions":
		readConditions(r, &rep.Conditions)
	case "measures":
		readMeasures(r, rep)
	case "marks":
		if !r.Null() {
			rep.Marks = marks.Read(r)
		}
	case "held":
		if !r.Null() {
			r.Array(func(int) {
				if s, ok := r.Text("a fault's name"); ok {
					rep.Held = append(rep.Held, s)
				}
			})
		}
	default:
		r.Unknown(key, repKeys)
	}
}

func readMeasures(r *strictjson.Reader, rep *Rep) {
	if r.Null() {
		return
	}
	r.Object(func(key string) {
		if r.Null() {
			return
		}
		reading := Reading{Measure: key}
		if readReading(r, &reading) {
			rep.Measures = append(rep.Measures, reading)
		}
	})
}

// readReading reads a number, a yes-no value or a quantity; false when nothing
// was seen or the value has the wrong form.
func readReading(r *strictjson.Reader, to *Reading) bool {
	switch {
	case r.IsBool():
		to.YesNo = true
		to.Yes, _ = r.Bool("true or false")
		return true
	case !r.IsObject():
		var ok bool
		to.X, ok = r.Float("a number, true or false, or an object with value, u and unit")
		return ok
	}
	seen := false
	r.Object(func(key string) {
		if r.Null() {
			return
		}
		switch key {
		case "value":
			to.X, seen = r.Float("a number")
		case "u":
			to.U, to.HasU = r.Float("the standard uncertainty, in the same unit")
			if to.U < 0 || math.IsNaN(to.U) {
				r.Problem("out-of-range", strconv.FormatFloat(to.U, 'g', -1, 64), "a standard uncertainty of 0 or more", "")
			}
		case "unit":
			readUnit(r, to)
		default:
			r.Unknown(key, quantityKeys)
		}
	})
	return seen
}

func readUnit(r *strictjson.Reader, to *Reading) {
	s, ok := r.Text("a unit")
	if !ok {
		return
	}
	if to.Unit, to.HasUnit = unit.Parse(s); to.HasUnit {
		return
	}
	hint := ""
	if near := place.Nearest(strings.ToLower(s), unit.Names()); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	r.Problem("unknown-unit", strconv.Quote(s), strings.Join(unit.Names(), " "), hint)
}

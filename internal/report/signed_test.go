package report

import (
	"reflect"

	"rootcue/engine"
	"rootcue/engine/progress"
	"rootcue/engine/verdict"
	"rootcue/engine/workload"
)

// sign stands for every text in a signed input.
const sign = "¤"

// signed is an input with every text replaced by a sign: names keep apart what
// they must, by a number; verdicts, levels, units and codes stay.
func signed(in Input) Input {
	names := map[string]string{}
	out := deep(reflect.ValueOf(*in.Assessment), func(field, s string) string {
		switch {
		case s == "" || field == "InReps" || field == "Unit" || field == "Code":
			return s
		case names[s] == "":
			names[s] = sign + number(len(names))
		}
		return names[s]
	}).Interface().(engine.Assessment)
	rename := func(s string) string {
		if s == "" || names[s] != "" {
			return names[s]
		}
		return sign
	}
	in.Assessment, in.Rubric = &out, nil
	if in.Review != nil {
		r := &Review{Note: rename(in.Review.Note), Released: in.Review.Released}
		for _, s := range in.Review.SetAside {
			r.SetAside = append(r.SetAside, SetAside{rename(s.Fault), rename(s.Reason)})
		}
		for _, c := range in.Review.Cues {
			r.Cues = append(r.Cues, SwappedCue{rename(c.Fault), rename(c.Cue)})
		}
		in.Review = r
	}
	if in.Since != nil {
		s := *in.Since
		s.Rows = append([]Row(nil), s.Rows...)
		for i := range s.Rows {
			s.Rows[i].Measure = rename(s.Rows[i].Measure)
		}
		in.Since = &s
	}
	if in.Club.Name != "" {
		in.Club.Name = sign
	}
	return in
}

// deep copies a value and changes its strings, but for the engine's own words.
func deep(v reflect.Value, change func(field, s string) string) reflect.Value {
	return deepIn(v, "", change)
}

func deepIn(v reflect.Value, field string, change func(field, s string) string) reflect.Value {
	out := reflect.New(v.Type()).Elem()
	switch v.Kind() {
	case reflect.String:
		switch v.Interface().(type) {
		case verdict.Verdict, workload.Level, workload.Activity, progress.Word:
			return v
		}
		out.SetString(change(field, v.String()))
	case reflect.Struct:
		for i := range v.NumField() {
			out.Field(i).Set(deepIn(v.Field(i), v.Type().Field(i).Name, change))
		}
	case reflect.Slice:
		for i := range v.Len() {
			out = reflect.Append(out, deepIn(v.Index(i), field, change))
		}
	case reflect.Array:
		for i := range v.Len() {
			out.Index(i).Set(deepIn(v.Index(i), field, change))
		}
	case reflect.Pointer:
		if !v.IsNil() {
			p := reflect.New(v.Type().Elem())
			p.Elem().Set(deepIn(v.Elem(), field, change))
			out = p
		}
	default:
		out.Set(v)
	}
	return out
}

package strictjson

import (
	"encoding/json"
	"reflect"
	"testing"
)

// What is read without a problem is what the standard library's reader gives
// of it; anything else has a problem with its place.
func FuzzRead(f *testing.F) {
	for _, s := range []string{`{"a": [1, null, "é", {"b": true}]}`, `{"a": 1, "a": 2}`, `"\ud800"`, "1e400", "[1,]", "\xff", "{\"a\": 1} x", `{"": {"~/": [-0, 1E2]}}`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var got any
		problems := Read(data, func(r *Reader) { got = anything(r) })
		for _, p := range problems {
			if p.Code == "" || p.Found == "" || p.Wanted == "" {
				t.Fatalf("says too little: %+v", p)
			}
		}
		if len(problems) > 0 {
			return
		}
		var want any
		if err := json.Unmarshal(data, &want); err != nil || !reflect.DeepEqual(got, want) {
			t.Fatalf("read %v, the standard library %v, %v", got, want, err)
		}
	})
}

func anything(r *Reader) any {
	switch {
	case r.Null():
		return nil
	case r.IsObject():
		m := map[string]any{}
		r.Object(func(key string) { m[key] = anything(r) })
		return m
	case r.IsArray():
		list := []any{}
		r.Array(func(int) { list = append(list, anything(r)) })
		return list
	case r.IsNumber():
		v, _ := r.Float("a number")
		return v
	case r.IsBool():
		v, _ := r.Bool("true or false")
		return v
	}
	v, _ := r.Text("a value")
	return v
}

package marks_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"rootcue/engine/marks"
	"rootcue/engine/quantity"
	"rootcue/engine/strictjson"
)

// Whatever bytes come in, reading and deriving end without a panic, problems
// exclude values, and every value and uncertainty is finite.
func FuzzMarks(f *testing.F) {
	files, err := filepath.Glob(testdata + "/bad/*.json")
	if err != nil || len(files) == 0 {
		f.Fatalf("no seeds: %v", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(marksOf(data), "right", 1.6)
	}
	f.Add([]byte(`{"fps":60,"toward":"left","scale":{"from":[0,0],"to":[0,9],"length":{"value":1,"unit":"m"}},"points":{"set":{"hip":[1,1],"ground":[1,3]}}}`), "left", 0.0)
	f.Fuzz(func(t *testing.T, data []byte, throws string, stature float64) {
		var cams []marks.Camera
		problems := strictjson.Read(data, func(r *strictjson.Reader) { cams = marks.Read(r) })
		if len(problems) > 0 {
			return
		}
		set := marks.Setting{DistanceM: 34.485}
		if throws == "left" || throws == "right" {
			set.Throws = throws
		}
		if stature >= 0.7 && stature <= 2.3 {
			set.Stature = quantity.Value{X: stature, Parts: []quantity.Part{{Input: quantity.Stature, D: 0.05}}}
		}
		var pool quantity.Pool
		out, _, problems := marks.Derive(cams, set, marks.NewInputs(&pool), "/reps/0/marks")
		if len(problems) > 0 && len(out) > 0 {
			t.Fatalf("%d values beside %+v", len(out), problems[0])
		}
		for _, d := range out {
			if bad(d.Value.X) || bad(d.Value.U()) {
				t.Fatalf("%s = %g ± %g", d.Measure, d.Value.X, d.Value.U())
			}
		}
	})
}

func bad(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) }

// marksOf cuts the value of "marks" out of an observation of one rep.
func marksOf(doc []byte) []byte {
	var raw []byte
	var into func(r *strictjson.Reader)
	into = func(r *strictjson.Reader) {
		switch {
		case r.IsArray():
			r.Array(func(int) { into(r) })
		case r.IsObject():
			r.Object(func(key string) {
				if key == "marks" {
					raw = r.Raw()
					return
				}
				into(r)
			})
		default:
			r.Skip()
		}
	}
	strictjson.Read(doc, into)
	return raw
}

package engine_test

import (
	"encoding/json"
	"maps"
	"testing"

	"rootcue/engine"
	"rootcue/engine/measure"
	"rootcue/engine/observation"
)

// sixReps is a document of six reps of one thrower with a few faults.
func sixReps(t testing.TB) []byte {
	t.Helper()
	measures := maps.Clone(clean)
	maps.Copy(measures, map[string]any{"clean_change": false, "change_time": 0.50, "feet_lag": 0.22, "stride_off_line": 17, "landing_time": 1.08, "exchange_time": 1.30})
	var reps []any
	for i := range 6 {
		reps = append(reps, map[string]any{"rep": i + 1, "measures": measures})
	}
	doc, err := json.Marshal(map[string]any{"rubric": "throw-to-second", "on": "2026-05-09", "reps": reps,
		"player": map[string]any{"ref": "P-1", "age": 12, "stature_cm": 150}})
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func BenchmarkAssess(b *testing.B) {
	r, doc := throwRubric(b), sixReps(b)
	o, _ := observation.Decode(doc)
	a, _ := engine.Assess(engine.Request{Rubric: r, Observation: o})
	b.Run("decode", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			observation.Decode(doc)
		}
	})
	b.Run("measures", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			measure.Read(r, o)
		}
	})
	b.Run("assess", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			engine.Assess(engine.Request{Rubric: r, Observation: o})
		}
	})
	b.Run("encode", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			a.JSON()
		}
	})
}

package marks

import (
	"math/rand/v2"
	"testing"

	"rootcue/engine/quantity"
)

// One rep of a document whose inputs are numbered already, from two cameras
// with everything marked; without and with the solve for the speed.
func BenchmarkDerive(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	t := newThrow(r, true)
	cams := film(t, filming{fps: 120, uPx: 3, noisy: true}, r)
	bench := func(b *testing.B, cams []Camera, set Setting) {
		var pool quantity.Pool
		in := NewInputs(&pool)
		b.ReportAllocs()
		for b.Loop() {
			if _, _, problems := Derive(cams, set, in, "/reps/0/marks"); len(problems) > 0 {
				b.Fatal(problems)
			}
		}
	}
	noSpeed := t.setting
	noSpeed.DistanceM = 0
	b.Run("rep", func(b *testing.B) { bench(b, cams, noSpeed) })
	b.Run("rep-with-speed", func(b *testing.B) { bench(b, cams, t.setting) })
	_, tracked := trackThrow()
	b.Run("track", func(b *testing.B) { bench(b, []Camera{tracked}, Setting{Throws: "right", Stature: t.setting.Stature}) })
	b.Run("document-of-one-rep", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			var pool quantity.Pool
			Derive(cams, noSpeed, NewInputs(&pool), "/reps/0/marks")
		}
	})
}

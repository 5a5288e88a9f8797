package marks

import (
	"testing"

	"rootcue/engine/quantity"
)

// The same mark has the same input in every rep, whichever rep comes first and
// whichever cameras it has.
func TestInputsAreTheSameInEveryRep(t *testing.T) {
	side := clicks{Set: {Hip: {500, 600}, Ground: {480, 840}}}.camera("", Beside, false)
	behind := clicks{Release: {ShoulderGlove: {700, 500}, ShoulderThrow: {800, 500}, ElbowThrow: {850, 436}}}.camera("", Behind, false)
	set := Setting{Throws: "right", Stature: quantity.Value{X: 1.6}}
	orders := [][][]Camera{
		{{side}, {behind}, {side, behind}},
		{{behind, side}, {side}, {behind}},
	}
	var first map[string]quantity.Value
	for _, reps := range orders {
		var pool quantity.Pool
		in := NewInputs(&pool)
		for _, cams := range reps {
			out, _, _ := Derive(cams, set, in, "")
			got := map[string]quantity.Value{}
			for _, d := range out {
				got[d.Measure] = d.Value
			}
			if first == nil {
				first = map[string]quantity.Value{}
			}
			for name, v := range got {
				if _, ok := first[name]; !ok {
					first[name] = v
				}
				if !sameValue(first[name], v) {
					t.Errorf("%s: %v, then %v", name, first[name], v)
				}
			}
		}
	}
}

// Clicks and events are drawn anew in each rep, scale and player are not.
func TestWhatIsShared(t *testing.T) {
	var pool quantity.Pool
	in := NewInputs(&pool)
	block := in.camera(slot(Behind, 0))
	for name, c := range map[string]struct {
		in     quantity.Input
		shared bool
	}{
		"scale": {block, true}, "breadth": {in.breadth, true}, "ankle": {in.ankle, true}, "hidden shoulder": {in.far, true},
		"usual release height": {in.release, true}, "drag": {in.air, true}, "arrival height": {in.arrival, false},
		"first point": {pointInput(block, 0, 0), false}, "last point": {pointInput(block, MomentCount-1, JointCount-1) + 1, false},
		"first event": {eventInput(block, 0), false}, "last event": {eventInput(block, MomentCount-1), false},
	} {
		if pool.IsShared(c.in) != c.shared {
			t.Errorf("%s: shared is %t", name, !c.shared)
		}
	}
	if last := pool.Own(); last != eventInput(block, MomentCount-1)+1 {
		t.Errorf("the last event's input %d is not the last of its block before %d", eventInput(block, MomentCount-1), last)
	}
}

// Two measures that stand on the same scale and hip are correlated as 5.2.2 of
// JCGM 100:2008 asks: their covariance is the sum over the inputs they share.
func TestMeasuresOnTheSameMarksAreCorrelated(t *testing.T) {
	cam := clicks{Set: {Hip: {500, 600}, Ground: {480, 840}}, Transfer: {Hip: {500, 552}, Ground: {480, 840}}}.camera("", Beside, false)
	v, _ := deriveAll(t, Setting{Stature: quantity.Value{X: 1.6, Parts: []quantity.Part{{Input: quantity.Stature, D: 0.08}}}}, cam)
	a, b := v["hip_height_set"], v["hip_height_transfer"]
	near(t, "covariance", quantity.Covariance(a, b), 0.375*0.45*(rel*rel+0.05*0.05), 1e-6)
	near(t, "u", a.U(), quad(root2*click, 0.375*rel, 0.375*0.05), 1e-6)
}

// A stretch that is known worse makes every length worse, alike.
func TestStatedLengthOfTheScale(t *testing.T) {
	cam := clicks{Set: {Hip: {500, 600}, Ground: {480, 840}}}.camera("", Beside, false)
	cam.Scale.U = 0.032 // 2 %
	v, _ := deriveAll(t, Setting{Stature: quantity.Value{X: 1.6}}, cam)
	near(t, "u", v["hip_height_set"].U(), quad(root2*click, 0.375*rel, 0.375*0.02), 1e-6)
}

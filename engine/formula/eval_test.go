package formula

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// missing stands for a result that was not seen.
var missing = math.Float64frombits(0x7ff8_0000_dead_beef)

type evalCase struct {
	src  string
	in   map[int]float64
	want float64
}

func run(t *testing.T, kind Kind, tests []evalCase) {
	t.Helper()
	for _, tt := range tests {
		t.Run(tt.src, func(t *testing.T) {
			p, issues := Compile(tt.src, kind, testEnv)
			if issues != nil {
				t.Fatalf("issues: %+v", issues)
			}
			v, seen := p.Eval(given(tt.in))
			unwanted := math.Float64bits(tt.want) == math.Float64bits(missing)
			switch {
			case seen == unwanted:
				t.Errorf("seen = %v", seen)
			case !seen && v != 0:
				t.Errorf("not seen, yet %v", v)
			case seen && v != tt.want && !(v != v && tt.want != tt.want):
				t.Errorf("got %v, want %v", v, tt.want)
			}
		})
	}
}

var nan = math.NaN()

func TestNumbers(t *testing.T) {
	in := map[int]float64{strideLength: 3, stature: 2, hipHeight: -1, handProtected: 1, ball: 1}
	run(t, Number, []evalCase{
		{"7", nil, 7},
		{".5 + 1e1", nil, 10.5},
		{"stride_length", in, 3},
		{"hand_speed", in, missing},
		{"+stride_length", in, 3},
		{"-stride_length", in, -3},
		{"--stride_length", in, 3},
		{"stride_length + stature", in, 5},
		{"stride_length - stature", in, 1},
		{"stride_length * stature", in, 6},
		{"stride_length / stature", in, 1.5},
		{"7 / 2", nil, 3.5},
		{"1 + stride_length", in, 4},
		{"stride_length + 1", in, 4},
		{"1 - stride_length", in, -2},
		{"stride_length - 1", in, 2},
		{"2 * stride_length", in, 6},
		{"stride_length * 2", in, 6},
		{"6 / stride_length", in, 2},
		{"stride_length / 2", in, 1.5},
		{"2 ** stride_length", in, 8},
		{"(stride_length + stature) * (stride_length - stature)", in, 5},
		{"max(stride_length, 4)", in, 4},
		{"min(1, stride_length)", in, 1},
		{"min(stride_length, 4)", in, 3},
		{"clamp(stature, hip_height_set, stride_length)", in, 2},
		{"clamp(stature, stature, 1 + 2)", in, 2},
		{"stride_length ** 2", in, 9},
		{"stride_length ^ 2", in, 9},
		{"stature ** stride_length", in, 8},
		{"2 ** 3 ** 2", nil, 512},
		{"-2 ** 2", nil, -4},
		{"stature ** -1", in, 0.5},
		{"1 + 2 * stride_length", in, 7},
		{"(1 + 2) * stride_length", in, 9},
		{"10 - 4 - 3", nil, 3},
		{"min(stride_length, stature)", in, 2},
		{"min(stride_length, stature, hip_height_set, 5)", in, -1},
		{"max(0, hip_height_set)", in, 0},
		{"max(stature, 1, stride_length, 2)", in, 3},
		{"abs(hip_height_set)", in, 1},
		{"sqrt(stature * 8)", in, 4},
		{"clamp(stride_length, 0, 2)", in, 2},
		{"clamp(hip_height_set, 0, 2)", in, 0},
		{"clamp(1, 0, 2)", nil, 1},
		{"hand_protected ? stature : stride_length", in, 2},
		{"!hand_protected ? stature : stride_length", in, 3},
		{"flight_time(stature, stride_length)", in, 1.5},
		{"flight_time(hip_height_set, stride_length)", in, missing},
		{"goal() + 1", nil, 3},
		{"stride_length + hand_speed", in, missing},
		{"hand_speed - stride_length", in, missing},
		{"hand_speed * 0", in, missing},
		{"stride_length / hand_speed", in, missing},
		{"hand_speed ** 0", in, missing},
		{"hand_speed ** 2", in, missing},
		{"-hand_speed", in, missing},
		{"abs(hand_speed)", in, missing},
		{"sqrt(hand_speed)", in, missing},
		{"max(0, hand_speed)", in, missing},
		{"min(0, 1, hand_speed)", in, missing},
		{"clamp(1, 0, hand_speed)", in, missing},
		{"flight_time(2, hand_speed)", in, missing},
		{"runner_may_lead ? 1 : 1", in, missing},
		{"hand_protected ? hand_speed : 1", in, missing},
		{"hand_protected ? 1 : hand_speed", in, 1},
		{"seen(hand_speed) ? hand_speed : stature", in, 2},
	})
}

// What is not finite stays not finite, whatever is done with it next.
func TestNotFinite(t *testing.T) {
	in := map[int]float64{strideLength: 3, stature: 0, handProtected: 1}
	run(t, Number, []evalCase{
		{"stride_length / stature", in, math.Inf(1)},
		{"-stride_length / stature", in, math.Inf(-1)},
		{"stature / stature", in, nan},
		{"sqrt(-stride_length)", in, nan},
		{"1 / (stride_length / stature)", in, nan},
		{"max(0, -stride_length / stature)", in, nan},
		{"min(5, stride_length / stature)", in, nan},
		{"min(stride_length / stature, 5)", in, nan},
		{"clamp(stride_length / stature, 0, 1)", in, nan},
		{"clamp(1, stride_length, stature)", in, nan},
		{"(stride_length / stature) ** -1", in, nan},
		{"(stature / stature) ** 0", in, nan},
		{"flight_time(stride_length / stature, 1)", in, nan},
		{"flight_time(stride_length / stature, hand_speed)", in, missing},
		{"stride_length / stature > 1 ? 1 : 2", in, nan},
		{"stature > 1 ? 1 / stature : 2", in, 2},
	})
	run(t, Bool, []evalCase{
		{"stride_length / stature > 1", in, nan},
		{"stature / stature == 1", in, nan},
		{"!(1 / stature > 1)", in, nan},
		{"1 / stature > 1 && hand_protected", in, nan},
		{"1 / stature > 1 && !hand_protected", in, 0},
		{"stature != 0 && 1 / stature > 1", in, 0},
		{"stature == 0 || 1 / stature > 1", in, 1},
		{"1 / stature > 1 || hand_protected", in, 1},
		{"1 / stature > 1 || !hand_protected", in, nan},
		{"1 / stature > 1 && runner_may_lead", in, missing},
		{"runner_may_lead || 1 / stature > 1", in, missing},
		{"(1 / stature > 1) == hand_protected", in, nan},
		{"(1 / stature > 1) == runner_may_lead", in, missing},
		{"1 / stature > 1 ? true : false", in, nan},
		{"stride_length > 1 / stature", in, nan},
		{"hand_speed > 1 / stature", in, missing},
		{"stature > 1", map[int]float64{stature: math.Inf(1)}, nan},
	})
}

func TestConditions(t *testing.T) {
	in := map[int]float64{strideLength: 3, stature: 2, handProtected: 1, ball: 1, pitch: 3}
	run(t, Bool, []evalCase{
		{"true", nil, 1},
		{"false", nil, 0},
		{"hand_protected", in, 1},
		{"runner_may_lead", in, missing},
		{"!hand_protected", in, 0},
		{"not hand_protected", in, 0},
		{"!!hand_protected", in, 1},
		{"!runner_may_lead", in, missing},
		{"stride_length < 3", in, 0},
		{"stride_length <= 3", in, 1},
		{"stride_length > 3", in, 0},
		{"stride_length >= 3", in, 1},
		{"stride_length == 3", in, 1},
		{"stride_length != 3", in, 0},
		{"2 < stride_length", in, 1},
		{"3 <= stride_length", in, 1},
		{"3 > stride_length", in, 0},
		{"4 >= stride_length", in, 1},
		{"3 == stride_length", in, 1},
		{"2 != stride_length", in, 1},
		{"stature < stride_length", in, 1},
		{"stature + 1 >= stride_length", in, 1},
		{"stature + 1 > stride_length", in, 0},
		{"stature + 1 <= stride_length", in, 1},
		{"stature + 1 != stride_length", in, 0},
		{"stature + 1 == stride_length", in, 1},
		{"stature + 1 != 4", in, 1},
		{"3 >= stature + 1", in, 1},
		{"1 < 2", nil, 1},
		{"hand_speed > 1", in, missing},
		{"1 > hand_speed", in, missing},
		{"hand_speed > stature", in, missing},
		{`ball == "dry"`, in, 1},
		{`ball != "dry"`, in, 0},
		{`'live' == ball`, in, 0},
		{"`live` != ball", in, 1},
		{`pitch == "dirt"`, in, 1},
		{`pitch == "dirt"`, nil, missing},
		{`pitch != "dirt"`, nil, missing},
		{"hand_protected == true", in, 1},
		{"hand_protected != true", in, 0},
		{"hand_protected == (stature > 5)", in, 0},
		{"runner_may_lead == true", in, missing},
		{"seen(stature)", in, 1},
		{"seen(hand_speed)", in, 0},
		{"seen(ball) && seen(hand_protected)", in, 1},
		{"hand_protected ? stature > 1 : false", in, 1},
		{"hand_protected ? runner_may_lead : false", in, missing},
		{"runner_may_lead ? true : true", in, missing},
		{"1 > 2 || 3 > 2 && 2 > 3", nil, 0},
		{"stature > 1 and not (stature > 3) or false", in, 1},
	})
}

// Kleene's strong logic, as in Kleene, Introduction to Metamathematics (1952),
// section 64, table from memory: all nine cases of each.
func TestKleene(t *testing.T) {
	words := []string{"false", "true", "runner_may_lead"}
	u := missing
	tables := []struct {
		sign string
		want [9]float64
	}{
		{"&&", [9]float64{0, 0, 0, 0, 1, u, 0, u, u}},
		{"||", [9]float64{0, 1, u, 1, 1, 1, u, 1, u}},
		{"==", [9]float64{1, 0, u, 0, 1, u, u, u, u}},
	}
	var tests []evalCase
	for _, table := range tables {
		for i, want := range table.want {
			tests = append(tests, evalCase{words[i/3] + " " + table.sign + " " + words[i%3], nil, want})
		}
	}
	run(t, Bool, tests)
}

func TestReadsAndSource(t *testing.T) {
	src := `hand_speed > 1 && seen(stature) && (pitch == "dirt" ? hand_speed : -hip_height_set) > 2 + 3`
	p, issues := Compile(src, Bool, testEnv)
	if issues != nil {
		t.Fatal(issues)
	}
	want := []int{stature, hipHeight, handSpeed, pitch}
	if diff := cmp.Diff(want, p.Reads()); diff != "" {
		t.Error(diff)
	}
	p.Reads()[0] = 99
	if diff := cmp.Diff(want, p.Reads()); diff != "" {
		t.Error("the caller changed the program: ", diff)
	}
	if p.Source() != src {
		t.Errorf("source %q", p.Source())
	}
}

func TestReserved(t *testing.T) {
	for word, want := range map[string]bool{"and": true, "in": true, "true": true, "seen": true, "clamp": true, "stature": false, "count": false} {
		if got := Reserved(word); got != want {
			t.Errorf("Reserved(%q) = %v", word, got)
		}
	}
}

// A name that is no reserved word must work, whatever the parser uses it for.
func TestEveryOtherWordCanBeAName(t *testing.T) {
	for _, word := range []string{"count", "sum", "map", "len", "now", "all", "duration", "yes", "b", "e1"} {
		env := &Env{Names: []Name{{Name: word}}}
		p, issues := Compile("2 * "+word, Number, env)
		if issues != nil {
			t.Errorf("%s: %+v", word, issues)
			continue
		}
		if v, seen := p.Eval(&Inputs{X: []float64{4}, Seen: []bool{true}}); v != 8 || !seen {
			t.Errorf("%s: %v %v", word, v, seen)
		}
	}
}

func TestNothingIsAllocated(t *testing.T) {
	src := `hand_protected && flight_time(hand_speed, max(0, stride_length, stature)) > clamp(sqrt(stature ** 2), 0, 3) ? abs(-stature) > 1 : pitch == "dirt"`
	p, issues := Compile(src, Bool, testEnv)
	if issues != nil {
		t.Fatal(issues)
	}
	in := given(map[int]float64{strideLength: 3, stature: 2, handSpeed: 2, handProtected: 1, pitch: 1})
	if n := testing.AllocsPerRun(100, func() { p.Eval(in) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

package formula

import "math"

// rules are forty conditions, costs and formulas such as rubrics hold, each a
// second time by hand.
var rules = []struct {
	src  string
	kind Kind
	hand func(in *Inputs) (float64, bool)
}{
	{`stride_length > 0.55`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] {
			return 0, false
		}
		return bit(in.X[strideLength] > 0.55)
	}},
	{`stride_length <= 0.7`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] {
			return 0, false
		}
		return bit(in.X[strideLength] <= 0.7)
	}},
	{`hip_height_set < 0.45`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[hipHeight] {
			return 0, false
		}
		return bit(in.X[hipHeight] < 0.45)
	}},
	{`0.3 < hip_height_set`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[hipHeight] {
			return 0, false
		}
		return bit(0.3 < in.X[hipHeight])
	}},
	{`hand_speed >= 2`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[handSpeed] {
			return 0, false
		}
		return bit(in.X[handSpeed] >= 2)
	}},
	{`stature != 0`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[stature] {
			return 0, false
		}
		return bit(in.X[stature] != 0)
	}},
	{`stride_length > hip_height_set`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] || !in.Seen[hipHeight] {
			return 0, false
		}
		return bit(in.X[strideLength] > in.X[hipHeight])
	}},
	{`hip_height_set + 0.1 < stride_length`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[hipHeight] || !in.Seen[strideLength] {
			return 0, false
		}
		return bit(in.X[hipHeight]+0.1 < in.X[strideLength])
	}},
	{`abs(stride_length - 0.5) > 0.05`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] {
			return 0, false
		}
		return bit(math.Abs(in.X[strideLength]-0.5) > 0.05)
	}},
	{`stride_length * stature > 0.8`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] || !in.Seen[stature] {
			return 0, false
		}
		return bit(in.X[strideLength]*in.X[stature] > 0.8)
	}},
	{`stride_length / hip_height_set > 1.2`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] || !in.Seen[hipHeight] {
			return 0, false
		}
		return bit(in.X[strideLength]/in.X[hipHeight] > 1.2)
	}},
	{`max(stride_length, hip_height_set) > 0.5`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] || !in.Seen[hipHeight] {
			return 0, false
		}
		return bit(max(in.X[strideLength], in.X[hipHeight]) > 0.5)
	}},
	{`0.05`, Number, func(in *Inputs) (float64, bool) {
		return 0.05, true
	}},
	{`stride_length`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] {
			return 0, false
		}
		return in.X[strideLength], true
	}},
	{`max(0, 0.5 - stride_length) * stature / hand_speed`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] || !in.Seen[stature] || !in.Seen[handSpeed] {
			return 0, false
		}
		return max(0, 0.5-in.X[strideLength]) * in.X[stature] / in.X[handSpeed], true
	}},
	{`max(0, stride_length - 0.55) * stature / hand_speed`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] || !in.Seen[stature] || !in.Seen[handSpeed] {
			return 0, false
		}
		return max(0, in.X[strideLength]-0.55) * in.X[stature] / in.X[handSpeed], true
	}},
	{`max(0, 0.45 - hip_height_set) * 0.3`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[hipHeight] {
			return 0, false
		}
		return max(0, 0.45-in.X[hipHeight]) * 0.3, true
	}},
	{`0.4 * max(0, hip_height_set - 0.3)`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[hipHeight] {
			return 0, false
		}
		return 0.4 * max(0, in.X[hipHeight]-0.3), true
	}},
	{`stride_length * stature`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] || !in.Seen[stature] {
			return 0, false
		}
		return in.X[strideLength] * in.X[stature], true
	}},
	{`stride_length / hip_height_set`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] || !in.Seen[hipHeight] {
			return 0, false
		}
		return in.X[strideLength] / in.X[hipHeight], true
	}},
	{`(stride_length - hip_height_set) / stature`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] || !in.Seen[hipHeight] || !in.Seen[stature] {
			return 0, false
		}
		return (in.X[strideLength] - in.X[hipHeight]) / in.X[stature], true
	}},
	{`sqrt(stride_length ** 2 + hip_height_set ** 2)`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] || !in.Seen[hipHeight] {
			return 0, false
		}
		return math.Sqrt(in.X[strideLength]*in.X[strideLength] + in.X[hipHeight]*in.X[hipHeight]), true
	}},
	{`abs(stride_length - hip_height_set)`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] || !in.Seen[hipHeight] {
			return 0, false
		}
		return math.Abs(in.X[strideLength] - in.X[hipHeight]), true
	}},
	{`clamp(stride_length, 0.2, 0.5)`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] {
			return 0, false
		}
		return min(max(in.X[strideLength], 0.2), 0.5), true
	}},
	{`min(0.2, stride_length * 0.1)`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] {
			return 0, false
		}
		return min(0.2, in.X[strideLength]*0.1), true
	}},
	{`clamp((stride_length - 0.4) / 0.3, 0, 1) * 0.12`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] {
			return 0, false
		}
		return min(max((in.X[strideLength]-0.4)/0.3, 0), 1) * 0.12, true
	}},
	{`-stride_length + 1`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] {
			return 0, false
		}
		return -in.X[strideLength] + 1, true
	}},
	{`2 * hip_height_set - 0.1 * stature`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[hipHeight] || !in.Seen[stature] {
			return 0, false
		}
		return 2*in.X[hipHeight] - 0.1*in.X[stature], true
	}},
	{`0.02 + 0.5 * stride_length`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] {
			return 0, false
		}
		return 0.02 + 0.5*in.X[strideLength], true
	}},
	{`hand_protected`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[handProtected] {
			return 0, false
		}
		return bit(in.X[handProtected] != 0)
	}},
	{`!runner_may_lead`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[mayLead] {
			return 0, false
		}
		return bit(in.X[mayLead] == 0)
	}},
	{`pitch != "dirt"`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[pitch] {
			return 0, false
		}
		return bit(in.X[pitch] != 3)
	}},
	{`ball == "live"`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[ball] {
			return 0, false
		}
		return bit(in.X[ball] == 0)
	}},
	{`ball == "live" && stride_length > 0.55`, Bool, func(in *Inputs) (float64, bool) {
		if in.Seen[ball] && in.X[ball] != 0 || in.Seen[strideLength] && !(in.X[strideLength] > 0.55) {
			return 0, true
		}
		if !in.Seen[ball] || !in.Seen[strideLength] {
			return 0, false
		}
		return 1, true
	}},
	{`stride_length > 0.7 || hip_height_set < 0.3`, Bool, func(in *Inputs) (float64, bool) {
		if in.Seen[strideLength] && in.X[strideLength] > 0.7 || in.Seen[hipHeight] && in.X[hipHeight] < 0.3 {
			return 1, true
		}
		if !in.Seen[strideLength] || !in.Seen[hipHeight] {
			return 0, false
		}
		return 0, true
	}},
	{`stride_length > 0.3 && stride_length < 0.9`, Bool, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] {
			return 0, false
		}
		return bit(in.X[strideLength] > 0.3 && in.X[strideLength] < 0.9)
	}},
	{`!(hand_protected && runner_may_lead)`, Bool, func(in *Inputs) (float64, bool) {
		a, b := in.Seen[handProtected], in.Seen[mayLead]
		if a && in.X[handProtected] == 0 || b && in.X[mayLead] == 0 {
			return 1, true
		}
		if !a || !b {
			return 0, false
		}
		return 0, true
	}},
	{`hand_protected ? 0.02 : 0.05`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[handProtected] {
			return 0, false
		}
		if in.X[handProtected] != 0 {
			return 0.02, true
		}
		return 0.05, true
	}},
	{`stride_length > 0.55 ? (stride_length - 0.55) * 0.4 : 0`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[strideLength] {
			return 0, false
		}
		if x := in.X[strideLength]; x > 0.55 {
			return (x - 0.55) * 0.4, true
		}
		return 0, true
	}},
	{`runner_may_lead ? stride_length : hip_height_set`, Number, func(in *Inputs) (float64, bool) {
		if !in.Seen[mayLead] {
			return 0, false
		}
		slot := hipHeight
		if in.X[mayLead] != 0 {
			slot = strideLength
		}
		if !in.Seen[slot] {
			return 0, false
		}
		return in.X[slot], true
	}},
}

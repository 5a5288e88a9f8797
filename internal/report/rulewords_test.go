package report

import (
	"testing"
)

// TestRuleInWords: each kind of rule, as the engine tells it.
func TestRuleInWords(t *testing.T) {
	titles := map[string]string{"hip_height_set": "Hip height in the set", "path_ratio": "Hand path against the straight line", "drawback": "Ball behind the ear", "pop_time": "Pop time"}
	for rule, want := range map[string]string{
		`hip_height_set at most 0.38 stature, judged only if stance == "two-feet"`: "Hip height in the set at most 0.38 of standing height, judged only if stance is two feet",
		`path_ratio at most 2.2 1`: "Hand path against the straight line at most 2.2",
		`path_ratio at most 2.2 1, judged only if pitch != "dirt" && thrown == true`:      "Hand path against the straight line at most 2.2, judged only if pitch is not dirt and thrown is true",
		`drawback between 0.05 and 0.3 stature`:                                           "Ball behind the ear between 0.05 and 0.3 of standing height",
		`thumb_under must be yes, judged only if pitch == "low" || pitch == "dirt"`:       "thumb under must be yes, judged only if pitch is low or pitch is dirt",
		`fault when pop_time > exchange_limit + flight_time(speed_limit, throw_distance)`: "fault when Pop time > exchange limit + flight time(speed limit, throw distance)",
		`shoulder_turn_set at most 30 deg`:                                                "shoulder turn set at most 30 degrees",
		`feet_lag at most 0.1 s`:                                                          "feet lag at most 0.1 s",
		``:                                                                                "",
	} {
		if got := RuleInWords(rule, func(name string) string { return titles[name] }); got != want {
			t.Errorf("%q is told as %q, wanted %q", rule, got, want)
		}
	}
}

package shape

import "testing"

func TestMerge(t *testing.T) {
	tests := []struct{ name, base, change, want, problems string }{
		{"maps by key", "{a: {x: 1, y: 2}, b: 3}", "{a: {y: 5}}", `{"a":{"x":1,"y":5},"b":3}`, ""},
		{"new keys follow", "{a: 1, b: 2}", "{c: 3, a: 4}", `{"a":4,"b":2,"c":3}`, ""},
		{"lists are replaced", "{a: [1, 2]}", "{a: [3]}", `{"a":[3]}`, ""},
		{"a map replaces a number", "{a: 1}", "{a: {x: 1}}", `{"a":{"x":1}}`, ""},
		{"a number replaces a map", "{a: {x: 1}}", "{a: 1}", `{"a":1}`, ""},
		{"null takes out", "{a: {x: 1, y: 2}, b: 3}", "{a: {x: null}, b: null}", `{"a":{"y":2}}`, ""},
		{"null for what is not there", "{alpha: 1}", "{alhpa: null}", `{"alpha":1}`, "nothing-to-take-out@1:2"},
		{"nothing changes", "{a: 1}", "{}", `{"a":1}`, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			base, _ := Read("base", []byte(tt.base))
			change, _ := Read("change", []byte(tt.change))
			n, problems := Merge(base, change)
			if got := string(n.JSON()); got != tt.want {
				t.Errorf("got %s, want %s", got, tt.want)
			}
			if got := codes(problems); got != tt.problems {
				t.Errorf("problems: got %q, want %q", got, tt.problems)
			}
			if again, _ := Read("base", []byte(tt.base)); string(again.JSON()) != string(base.JSON()) {
				t.Error("the base was changed")
			}
		})
	}
}

// TestMergeKeepsPlaces: values keep the file they stand in.
func TestMergeKeepsPlaces(t *testing.T) {
	base, _ := Read("base", []byte("a:\n  x: 1\n  y: 2\n"))
	change, _ := Read("change", []byte("a:\n  y: 3\n"))
	n, _ := Merge(base, change)
	for key, want := range map[string]string{"x": "base", "y": "change"} {
		if got := n.Get("a").Get(key).File(); got != want {
			t.Errorf("%s stands in %s, want %s", key, got, want)
		}
	}
	if p := n.Get("a").Get("x").Problem("c", "f", "w", ""); p.File != "base" || p.Line != 2 || p.Column != 6 {
		t.Errorf("got %+v", p)
	}
}

package place

import (
	"testing"

	"pgregory.net/rapid"
)

// TestLinesBreaks: lines end where YAML 1.1 ends them (section 4.2, b-break):
// LF, CR, CR LF, NEL, LS, PS.
func TestLinesBreaks(t *testing.T) {
	src := "a\nb\rc\r\nd\u0085e\u2028f\u2029g"
	l := NewLines([]byte(src))
	for i, want := range []string{"a", "b", "c", "d", "e", "f", "g"} {
		if got := l.Line(i + 1); got != want {
			t.Errorf("line %d: got %q, want %q", i+1, got, want)
		}
	}
	for _, outside := range []int{-1, 0, 8} {
		if got := l.Line(outside); got != "" {
			t.Errorf("line %d: got %q, want nothing", outside, got)
		}
	}
}

func TestLinesPosition(t *testing.T) {
	src := []byte("\ufeffname: é5°\nnext\n")
	l := NewLines(src)
	tests := []struct {
		text         string // what stands at the place
		line, column int
	}{
		{"name", 1, 1}, {"é5", 1, 7}, {"5°", 1, 8}, {"°", 1, 9}, {"\nnext", 1, 10}, {"next", 2, 1}, {"", 3, 1},
	}
	for _, tt := range tests {
		at := l.Offset(tt.line, tt.column)
		if got := string(src[at:]); len(got) < len(tt.text) || got[:len(tt.text)] != tt.text {
			t.Errorf("%d:%d: got %q, want %q", tt.line, tt.column, got, tt.text)
		}
		if line, column := l.Position(at); line != tt.line || column != tt.column {
			t.Errorf("position of %q: got %d:%d, want %d:%d", tt.text, line, column, tt.line, tt.column)
		}
	}
}

func TestLinesOutside(t *testing.T) {
	l := NewLines([]byte("ab\ncd"))
	tests := []struct{ line, column, want int }{{0, 1, 0}, {1, 9, 2}, {2, 9, 5}, {9, 1, 5}}
	for _, tt := range tests {
		if got := l.Offset(tt.line, tt.column); got != tt.want {
			t.Errorf("%d:%d: got offset %d, want %d", tt.line, tt.column, got, tt.want)
		}
	}
	for offset, want := range map[int][2]int{-3: {1, 1}, 99: {2, 3}} {
		if line, column := l.Position(offset); [2]int{line, column} != want {
			t.Errorf("offset %d: got %d:%d, want %v", offset, line, column, want)
		}
	}
}

// TestLinesThereAndBack: the place of the first byte of any character leads
// back to it.
func TestLinesThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom([]rune("ab°é\n\r\u0085\u2028 \t"))).Draw(t, "text")
		l := NewLines([]byte(text))
		for at := range text {
			line, column := l.Position(at)
			// The second half of CR LF belongs to the break before it.
			if back := l.Offset(line, column); back != at && !(text[at] == '\n' && at > 0 && text[at-1] == '\r') {
				t.Fatalf("%q: offset %d is %d:%d, which is offset %d", text, at, line, column, back)
			}
		}
	})
}

package formula

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite testdata/issues.txt")

// testdata/issues.txt holds expressions and all that is said about them. A line
// that begins with "yes-no: " or "number: " is an expression of that kind; the
// lines after it show each issue under the place it is about.
func TestIssues(t *testing.T) {
	const path = "testdata/issues.txt"
	golden, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var got strings.Builder
	for line := range strings.Lines(string(golden)) {
		head, src, isCase := strings.Cut(strings.TrimSuffix(line, "\n"), ": ")
		kind, known := map[string]Kind{"yes-no": Bool, "number": Number}[head]
		switch {
		case strings.HasPrefix(line, "#"):
			got.WriteString("\n" + line)
		case isCase && known:
			got.WriteString("\n" + line)
			writeIssues(&got, src, kind)
		}
	}
	if *update {
		if err := os.WriteFile(path, []byte(got.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if diff := cmp.Diff(string(golden), got.String()); diff != "" {
		t.Error(diff)
	}
}

func writeIssues(out *strings.Builder, src string, kind Kind) {
	_, issues := Compile(src, kind, testEnv)
	for _, i := range issues {
		indent := len("yes-no: ") + utf8.RuneCountInString(src[:i.Offset])
		marks := max(1, utf8.RuneCountInString(src[i.Offset:i.Offset+i.Length]))
		fmt.Fprintf(out, "%*s%s\n", indent, "", strings.Repeat("^", marks))
		fmt.Fprintf(out, "        %s: found %s; wanted %s", i.Code, i.Found, i.Wanted)
		if i.Hint != "" {
			fmt.Fprintf(out, "; hint: %s", i.Hint)
		}
		out.WriteString("\n")
	}
	if issues == nil {
		out.WriteString("        (good)\n")
	}
}

// What does not fit on a line of the golden file, and places in bytes.
func TestIssuePlaces(t *testing.T) {
	brackets := func(n int) string { return strings.Repeat("(", n) + "stature" + strings.Repeat(")", n) }
	tests := []struct {
		name, src, code, at string
		offset              int
	}{
		{"nothing", "", "empty", "", 0},
		{"blanks only", " \n\t", "empty", " \n\t", 0},
		{"bytes after a long character", "hip_height_set > 1 && größe > 1", "unknown-name", "größe", 22},
		{"a sign of three bytes", "stature ≤ größe", "bad-sign", "≤", 8},
		{"after words in quotes of several bytes", `pitch == "hóch" || ball == "wet"`, "unknown-word", `"hóch"`, 9},
		{"on a second line", "stature\n  > stride", "unknown-name", "stride", 12},
		{"not UTF-8", "stature > \xff", "bad-text", "\xff", 10},
		{"a good U+FFFD before a bad byte", "\ufffd \xff", "bad-text", "\xff", 4},
		{"at the end", "stature >", "missing-value", "", 9},
		{"at the end, blanks after", "stature > ", "missing-value", "", 10},
		{"2048 bytes are enough", "stature > 1" + strings.Repeat(" ", 2037), "", "", 0},
		{"2049 bytes are not", "stature > 1" + strings.Repeat(" ", 2038), "too-long", " ", 2048},
		{"500 tokens are enough", "-0 < 1" + strings.Repeat("+1", 248), "", "", 0},
		{"501 are not", "0 < 1" + strings.Repeat("+1", 249), "too-long", "1", 502},
		{"50 brackets are enough", "1 < " + brackets(50), "", "", 0},
		{"51 are not", "1 < " + brackets(51), "too-deep", "(", 54},
		{"50 calls are enough", "1 < " + strings.Repeat("abs(", 50) + "1" + strings.Repeat(")", 50), "", "", 0},
		{"51 are not", "1 < " + strings.Repeat("abs(", 51) + "1" + strings.Repeat(")", 51), "too-deep", "(", 207},
		{"50 negations are enough", strings.Repeat("!", 50) + "hand_protected", "", "", 0},
		{"51 are not", strings.Repeat("!", 51) + "hand_protected", "too-deep", "!", 50},
		{"51 minus signs are not", "1 > " + strings.Repeat("- ", 51) + "1", "too-deep", "-", 104},
		{"51 powers are not", "1 < 1" + strings.Repeat("**1", 51), "too-deep", "**", 155},
		{"51 choices are not", strings.Repeat("hand_protected ? true : ", 51) + "false", "too-deep", "?", 1215},
		{"levels end with their bracket", "1 < " + strings.Repeat(brackets(10)+"+", 20) + "1", "", "", 0},
		{"levels of a prefix end at a weaker sign", "1 < " + strings.Repeat("-1 + ", 60) + "1", "", "", 0},
		{"levels of a choice end at a comma", "1 < max(" + strings.Repeat("hand_protected ? 1 : 2, ", 55) + "1)", "", "", 0},
		{"levels add up", "1 < " + strings.Repeat("(-", 25) + "(1" + strings.Repeat(")", 26), "too-deep", "(", 54},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, issues := Compile(tt.src, Bool, testEnv)
			if tt.code == "" {
				if issues != nil || p == nil {
					t.Fatalf("issues: %+v", issues)
				}
				return
			}
			if len(issues) == 0 || p != nil {
				t.Fatal("no issue")
			}
			i := issues[0]
			if i.Code != tt.code || i.Offset != tt.offset || tt.src[i.Offset:i.Offset+i.Length] != tt.at {
				t.Errorf("got %+v, want %s at %d: %q", i, tt.code, tt.offset, tt.at)
			}
		})
	}
}

// Where the order of tokens explains nothing, the parser's place is shown.
func TestMisplacedOtherwise(t *testing.T) {
	toks, _ := tokens("1 + 2")
	want := Issue{Code: "misplaced", Offset: 4, Found: `"2"`, Wanted: "an expression"}
	if diff := cmp.Diff(want, misplaced("1 + 2", toks, 4)); diff != "" {
		t.Error(diff)
	}
	if at := stop("1 + 2", errors.New("no place")); at != 5 {
		t.Errorf("an error without a place is at %d, not at the end", at)
	}
}

// An enumeration without words is no reason to panic.
func TestEnumWithoutWords(t *testing.T) {
	_, issues := Compile("x", Number, &Env{Names: []Name{{Name: "x", Kind: Enum}}})
	if len(issues) != 1 || issues[0].Hint != `compare it: x == "word"` {
		t.Errorf("%+v", issues)
	}
}

// An environment without enumerations has none to name.
func TestNoEnumerations(t *testing.T) {
	_, issues := Compile(`"dirt"`, Number, &Env{})
	if len(issues) != 1 || !strings.HasSuffix(issues[0].Hint, "there is none here") {
		t.Errorf("%+v", issues)
	}
}

package shape

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"

	"rootcue/engine/place"
)

// syntaxLine finds the line in an error of the YAML parser.
var syntaxLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)

// parserSays matches the errors of the YAML library's second stage, whose lines
// it counts from 0.
var parserSays = regexp.MustCompile(`^(did not find expected (<.*|node content|'-' indicator|key|',' or .*)|found undefined tag handle|found duplicate .*|found incompatible .*)$`)

// syntaxHints turns what the YAML parser says into what an author can do.
var syntaxHints = []struct{ says, hint string }{
	{"cannot start any token", "indent with spaces, never with tabs; put a text that starts with a special character into quotes"},
	{"mapping values are not allowed", "put a text that contains \": \" into quotes"},
	{"did not find expected key", "line the key up with the others of its map; close every quote"},
	{"could not find expected ':'", "write a colon and a space after each key; close every quote"},
	{"did not find expected ',' or ']'", "close the list with ] and separate its items by commas"},
	{"did not find expected ',' or '}'", "close the map with } and separate its entries by commas; put a text that contains a comma or a quote into quotes"},
	{"did not find expected '-' indicator", "start each item of the list with a dash in the same column"},
	{"unexpected end of stream", "close every quote"},
	{"unknown anchor", "write the value out where it is used"},
	{"control characters are not allowed", "take the control character out"},
}

// syntax turns an error of the YAML parser into a line, what was found and a
// hint.
func syntax(err error, lines *place.Lines, src []byte) (line int, found, hint string) {
	m := syntaxLine.FindStringSubmatch(err.Error())
	line, found = 1, err.Error()
	if m != nil {
		found = m[2]
		if m[1] != "" {
			line, _ = strconv.Atoi(m[1])
		}
		if parserSays.MatchString(found) {
			line++
		}
	}
	for _, h := range syntaxHints {
		if strings.Contains(found, h.says) {
			hint = h.hint
			break
		}
	}
	if i := bytes.IndexFunc(src, isControl); i >= 0 && strings.Contains(found, "control characters") {
		line, _ = lines.Position(i)
	}
	for line > 1 && strings.TrimSpace(lines.Line(line)) == "" {
		line-- // the end of the text: point at what stands last
	}
	return line, "text that cannot be read: " + found, hint
}

func isControl(r rune) bool {
	return r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0x7f
}

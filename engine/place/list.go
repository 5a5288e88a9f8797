package place

import "strings"

// List writes words as "a, b or c", at most eight of them.
func List(words []string) string {
	const most = 8
	if len(words) > most {
		return strings.Join(words[:most], ", ") + " …"
	}
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

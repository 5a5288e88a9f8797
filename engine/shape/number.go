package shape

import "regexp"

// decimal is how a number may be written: no octal, hexadecimal or binary, no
// underscores, no leading zeros, so that every reader sees the same number.
var decimal = regexp.MustCompile(`^[-+]?(0|[1-9][0-9]*)?(\.[0-9]+)?([eE][-+]?[0-9]+)?$`)

// huge is a plain decimal that the YAML reader leaves as text because it
// passes what a 64-bit number holds.
var huge = regexp.MustCompile(`^[-+]?[0-9]+(\.[0-9]*)?([eE][-+]?[0-9]+)?$`)

func looksHuge(s string) bool { return huge.MatchString(s) }

// commaNumber is a number with a decimal comma.
var commaNumber = regexp.MustCompile(`^[-+]?[0-9]+,[0-9]+$`)

package api

import (
	"strconv"
	"strings"
)

// Prefer picks the media type that an Accept field likes best (RFC 9110,
// 12.5.1), the earlier of equals; "" when it refuses all. An empty field takes
// the first.
func Prefer(accept string, types []string) string {
	if accept == "" {
		return types[0]
	}
	best, bestQ := "", 0.0
	for _, t := range types {
		if q := quality(accept, baseType(t)); q > bestQ {
			best, bestQ = t, q
		}
	}
	return best
}

// quality is how much an Accept field likes a media type: the q of the most
// specific range that fits.
func quality(accept, mediaType string) float64 {
	major, _, _ := strings.Cut(mediaType, "/")
	q, fits := 0.0, 0
	for item := range strings.SplitSeq(accept, ",") {
		parts := strings.Split(item, ";")
		specific := 0
		switch strings.ToLower(strings.TrimSpace(parts[0])) {
		case mediaType:
			specific = 3
		case major + "/*":
			specific = 2
		case "*/*":
			specific = 1
		}
		if specific > fits {
			q, fits = qOf(parts[1:]), specific
		}
	}
	return q
}

func qOf(params []string) float64 {
	for _, p := range params {
		if name, value, ok := strings.Cut(strings.TrimSpace(p), "="); ok && strings.EqualFold(name, "q") {
			q, err := strconv.ParseFloat(value, 64)
			if err != nil || q < 0 || q > 1 {
				return 0
			}
			return q
		}
	}
	return 1
}

// baseType is a media type without its parameters.
func baseType(mediaType string) string {
	base, _, _ := strings.Cut(mediaType, ";")
	return strings.ToLower(strings.TrimSpace(base))
}

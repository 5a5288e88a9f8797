package place

import "unicode/utf8"

// Nearest returns the known word that word was most likely meant to be, or ""
// when none is near. Near is at most one slip in three characters (one in a
// word of two), and at most three slips; a slip is one character added, left
// out, changed, or swapped with its neighbour. Letter case and "-" against "_"
// weigh nothing. The first of several equally near words wins.
func Nearest(word string, known []string) string {
	w := plain(word)
	if len(w) < 2 || len(w) > longestWord {
		return ""
	}
	best, least := "", min(3, max(1, len(w)/3))+1
	for _, k := range known {
		if k == word || utf8.RuneCountInString(k) > longestWord {
			continue
		}
		if d := slips(w, plain(k)); d < least {
			best, least = k, d
		}
	}
	return best
}

// longestWord, in characters: longer ones are no names, and comparing them
// would cost their product.
const longestWord = 64

// plain returns the characters of s in lower case, with "_" for "-" and blank.
func plain(s string) []rune {
	r := []rune(s)
	for i, c := range r {
		switch {
		case 'A' <= c && c <= 'Z':
			r[i] = c + 'a' - 'A'
		case c == '-' || c == ' ':
			r[i] = '_'
		}
	}
	return r
}

// slips counts the edits between a and b: the optimal string alignment
// distance (Damerau 1964, no part of the string edited twice).
func slips(a, b []rune) int {
	var before, last, row [longestWord + 1]int
	for j := range len(b) + 1 {
		last[j] = j
	}
	for i, ca := range a {
		row[0] = i + 1
		for j, cb := range b {
			cost := 1
			if ca == cb {
				cost = 0
			}
			row[j+1] = min(last[j]+cost, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && ca == b[j-1] && a[i-1] == cb {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}

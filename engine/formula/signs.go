package formula

import "strings"

// signs are those the language has. All others that the lexer knows are
// refused; the parser never sees them.
var signs = wordSet("+ - * / ** ^ < <= > >= == != && || and or ! not ? : ,")

// refused says what to write instead of a sign or word that is not ours.
var refused = map[string]string{
	"=":          "write == to compare",
	"|":          "write || for or",
	"&":          "write && for and",
	"%":          "write a share as a number, such as 0.10 for 10 %",
	"??":         "write seen(name) ? name : other",
	"?.":         "a name has no dot in it",
	".":          "a name has no dot in it",
	"..":         "write x >= 1 && x <= 5",
	";":          "write one expression only",
	"in":         "write x == 1 || x == 2, or x >= 1 && x <= 5",
	"let":        "write one expression only, without names of your own",
	"if":         "write condition ? value : other",
	"else":       "write condition ? value : other",
	"matches":    "write == with one whole word",
	"contains":   "write == with one whole word",
	"startsWith": "write == with one whole word",
	"endsWith":   "write == with one whole word",
	"[":          "write round brackets",
	"]":          "write round brackets",
	"{":          "write round brackets",
	"}":          "write round brackets",
}

// typed maps what a keyboard or word processor makes of a sign to the sign.
var typed = map[rune]string{
	'≥': ">=", '≤': "<=", '≠': "!=", '×': "*", '·': "*", '÷': "/", '−': "-", '–': "-", '—': "-",
	'²': "** 2", '³': "** 3", '½': "0.5", '√': "sqrt(…)",
	'“': straight, '”': straight, '„': straight, '‘': straight, '’': straight,
}

const straight = `straight quotes "…"`

// spoken maps words for signs and values to what the language has for them,
// whatever their letter case.
var spoken = map[string]string{
	"and": "&&", "or": "||", "not": "!", "yes": "true", "no": "false", "true": "true", "false": "false",
}

// absent are words for nothing.
var absent = wordSet("nil null none nan undefined")

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for w := range strings.FieldsSeq(words) {
		set[w] = true
	}
	return set
}

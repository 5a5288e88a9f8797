package formula

import "github.com/expr-lang/expr/parser/lexer"

// misplaced says what is wrong in the order of tokens that the parser refused.
// The parser's own message is for programmers and its place, at the end of the
// source, is one off; stop is used only where nothing else is found.
func misplaced(src string, toks []token, stop int) Issue {
	var choices []int // the ? still without :, and an opening bracket as -1
	for i, t := range toks {
		if issue, wrong := wrongNeighbour(src, toks, i); wrong {
			return issue
		}
		switch {
		case t.Is(lexer.Bracket, "("):
			choices = append(choices, -1)
		case t.Is(lexer.Operator, "?"):
			choices = append(choices, i)
		case t.Is(lexer.Operator, ":"):
			if len(choices) == 0 || choices[len(choices)-1] < 0 {
				return at(src, t, "missing-choice", `"?" before it`, "write condition ? value : other")
			}
			choices = choices[:len(choices)-1]
		case t.Kind == lexer.EOF || t.Is(lexer.Bracket, ")") || t.Is(lexer.Operator, ","):
			if n := len(choices); n > 0 && choices[n-1] >= 0 {
				return at(src, toks[choices[n-1]], "missing-choice", `":" and a second value after it`, "write condition ? value : other")
			}
			if n := len(choices); n > 0 && t.Kind == lexer.Bracket {
				choices = choices[:n-1]
			}
		}
	}
	return Issue{"misplaced", stop, 0, quote(src[stop:]), "an expression", ""}
}

// wrongNeighbour reports token i where it cannot follow the one before: values
// and signs take turns.
func wrongNeighbour(src string, toks []token, i int) (Issue, bool) {
	t, open := toks[i], i == 0 || !endsValue(toks[i-1])
	if open == startsValue(t) || t.Is(lexer.Operator, "-", "+") {
		return Issue{}, false
	}
	if i == 0 {
		return at(src, t, "missing-value", "a value first", ""), true
	}
	last := toks[i-1]
	before := src[last.at:last.end]
	switch {
	case t.Is(lexer.Bracket, ")") && last.Is(lexer.Bracket, "(") && i > 1 && toks[i-2].Kind == lexer.Identifier:
		return Issue{}, false // a function without arguments
	case t.Is(lexer.Bracket, "(") && last.Kind == lexer.Identifier:
		return Issue{}, false // a function
	case open && last.end == t.at && before+t.Value == "<>":
		return Issue{"write-sign", last.at, 2, `"<>"`, `"!="`, "write !="}, true
	case open:
		return at(src, t, "missing-value", "a value after "+quote(before), ""), true
	}
	return at(src, t, "missing-sign", "a sign such as * or && after "+quote(before), ""), true
}

// endsValue reports whether a value can end with t, so that what follows is a
// sign between two values.
func endsValue(t token) bool {
	return t.Is(lexer.Bracket, ")") || t.Kind == lexer.Identifier || t.Kind == lexer.Number || t.Kind == lexer.String
}

// startsValue reports whether a value can begin with t and nothing else can.
func startsValue(t token) bool {
	switch t.Kind {
	case lexer.Identifier, lexer.Number, lexer.String:
		return true
	}
	return t.Is(lexer.Bracket, "(") || t.Is(lexer.Operator, "!", "not")
}

// at is an issue about one token.
func at(src string, t token, code, wanted, hint string) Issue {
	found := quote(src[t.at:t.end])
	if t.Kind == lexer.EOF {
		found = "the end"
	}
	return Issue{code, t.at, t.end - t.at, found, wanted, hint}
}

package formula

import (
	"strconv"
	"strings"

	"github.com/expr-lang/expr/parser/lexer"
)

// gate refuses what the parser must not see: words and signs that are not
// ours, brackets that do not match, and nesting so deep that the parser's
// recursion has no bound. A chain of signs of one strength nests no deeper than
// the number of tokens, which scan bounds.
func gate(src string, toks []token, env *Env) []Issue {
	g := gatekeeper{src: src, toks: toks, env: env, open: []group{{}}}
	for i := range toks {
		g.token(i)
		if g.depth > maxDepth {
			g.add(Issue{"too-deep", toks[i].at, toks[i].end - toks[i].at, "more than " + strconv.Itoa(maxDepth) + " levels",
				"at most " + strconv.Itoa(maxDepth), "split it into several formulas"})
			break
		}
	}
	return g.issues
}

type gatekeeper struct {
	src    string
	toks   []token
	env    *Env
	open   []group // the brackets open, and the whole expression first
	depth  int     // levels of recursion that the parser would be in
	issues []Issue
}

// group is what stands between two brackets.
type group struct {
	at      int  // index of the opening bracket
	call    bool // holds arguments
	prefix  int  // levels of !, - and ** up to here, until a weaker sign
	choices int  // levels of ?:, until a comma
}

func (g *gatekeeper) add(i Issue) { g.issues = append(g.issues, i) }

// refuse reports token i.
func (g *gatekeeper) refuse(code string, i int, wanted, hint string) {
	g.add(at(g.src, g.toks[i], code, wanted, hint))
}

func (g *gatekeeper) token(i int) {
	switch t := g.toks[i]; t.Kind {
	case lexer.Identifier:
		g.word(i)
	case lexer.Number:
		if _, err := number64(t.Value); err != nil {
			g.refuse("bad-number", i, aNumber, "")
		}
	case lexer.String:
	case lexer.Bracket:
		g.bracket(i)
	case lexer.Operator:
		g.operator(i)
	case lexer.EOF:
		for _, open := range g.open[1:] {
			g.refuse("open-bracket", open.at, `a ")" for every "("`, `close it with ")"`)
		}
	default:
		g.refuse("bad-sign", i, "names, numbers and signs", "")
	}
}

// number64 reads a plain decimal number. The parser keeps one without point and
// exponent as an integer.
func number64(text string) (float64, error) {
	if !strings.ContainsAny(text, ".eE") {
		n, err := strconv.ParseInt(text, 10, 64)
		return float64(n), err
	}
	return strconv.ParseFloat(text, 64)
}

// word looks at a name, a function or a word for a sign.
func (g *gatekeeper) word(i int) {
	w := g.toks[i].Value
	called := g.toks[i+1].Is(lexer.Bracket, "(")
	_, isFunction := g.env.function(w)
	switch better, ok := spoken[strings.ToLower(w)]; {
	case refused[strings.ToLower(w)] != "" && g.env.slot(w) < 0:
		g.refuse("not-allowed", i, "names, numbers and signs", refused[strings.ToLower(w)])
	case ok && w != better && g.env.slot(w) < 0 && !isFunction:
		g.refuse("write-sign", i, quote(better), "write "+better)
	case called && g.env.slot(w) >= 0:
		g.refuse("not-a-function", i, "a function", quote(w)+" is a value; write * to multiply it with what is in brackets")
	case called && !isFunction:
		g.refuse("unknown-function", i, "one of "+strings.Join(g.env.functionNames(), ", "), meant(w, g.env.functionNames()))
	}
}

func (g *gatekeeper) bracket(i int) {
	switch v := g.toks[i].Value; {
	case refused[v] != "":
		g.refuse("not-allowed", i, `"(" or ")"`, refused[v])
	case v == "(":
		g.open = append(g.open, group{at: i, call: i > 0 && g.toks[i-1].Kind == lexer.Identifier})
		g.depth++
	case len(g.open) == 1:
		g.refuse("stray-bracket", i, `a "(" before it`, "")
	default:
		if g.toks[i-1].Is(lexer.Operator, ",") { // the parser would let it pass
			g.refuse("missing-value", i, `a value after ","`, "")
		}
		last := g.open[len(g.open)-1]
		g.open = g.open[:len(g.open)-1]
		g.depth -= 1 + last.prefix + last.choices
	}
}

func (g *gatekeeper) operator(i int) {
	top := &g.open[len(g.open)-1]
	v := g.toks[i].Value
	if !signs[v] {
		g.foreign(i)
		return
	}
	if prefix := i == 0 || !endsValue(g.toks[i-1]); prefix || v == "**" || v == "^" {
		top.prefix++
		g.depth++
		return
	}
	g.depth -= top.prefix
	top.prefix = 0
	switch v {
	case "?":
		top.choices++
		g.depth++
		if g.toks[i+1].Is(lexer.Operator, ":") {
			g.refuse("missing-value", i+1, `a value between "?" and ":"`, "write condition ? value : other")
		}
	case ",":
		g.depth -= top.choices
		top.choices = 0
		if !top.call {
			g.comma(i)
		}
	}
}

// comma reports one that stands outside the brackets of a function.
func (g *gatekeeper) comma(i int) {
	if whole, ok := decimalComma(g.src, g.toks, i); ok {
		point := strings.Replace(whole, ",", ".", 1)
		g.add(Issue{"decimal-comma", g.toks[i-1].at, len(whole), quote(whole), quote(point), "write " + point + " with a point"})
		return
	}
	g.refuse("stray-comma", i, "a comma only between the arguments of a function", "")
}

// decimalComma reports whether the comma at i stands between two numbers
// without a blank, and the text of all three.
func decimalComma(src string, toks []token, i int) (string, bool) {
	if i == 0 || !toks[i].Is(lexer.Operator, ",") {
		return "", false
	}
	a, b := toks[i-1], toks[i+1]
	if a.Kind != lexer.Number || b.Kind != lexer.Number || a.end+1 != b.at || strings.Contains(a.Value+b.Value, ".") {
		return "", false
	}
	return src[a.at:b.end], true
}

// foreign reports a sign that is not ours. Two signs written as one get one
// report, at the first.
func (g *gatekeeper) foreign(i int) {
	v := g.toks[i].Value
	both := v
	if next := g.toks[i+1]; next.at == g.toks[i].end {
		both += next.Value
	}
	switch {
	case both == "=>" || both == "=<":
		better := both[1:] + "="
		g.add(Issue{"write-sign", g.toks[i].at, 2, quote(both), quote(better), "write " + better})
	case v == "=":
		g.refuse("single-equals", i, quote("=="), refused[v])
	case v == "|" || v == "&":
		g.refuse("single-sign", i, quote(v+v), refused[v])
	default:
		g.refuse("not-allowed", i, "+ - * / ** < <= > >= == != && || ! ? :", refused[v])
	}
}

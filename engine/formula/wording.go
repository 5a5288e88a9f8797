package formula

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/expr-lang/expr/ast"
)

// called is how an instructor is told of a kind.
func (kind Kind) called() string {
	switch kind {
	case Number:
		return "a number"
	case Bool:
		return "yes or no"
	case Enum:
		return "one of several words"
	}
	return "a word in quotes"
}

func (k *kinds) report(n ast.Node, code, found, wanted, hint string) {
	at, end := span(k.src, k.toks, n)
	if found == "" {
		found = quote(k.src[at:end])
	}
	k.issues = append(k.issues, Issue{code, at, end - at, found, wanted, hint})
}

func (k *kinds) unknownName(n *ast.IdentifierNode) {
	hint := meant(n.Value, k.env.names())
	if whole := k.dashed(n); whole != "" {
		hint = "write _ for - in a name: " + whole
	} else if f, ok := k.env.function(n.Value); ok {
		hint = "write " + f.usage
	} else if absent[strings.ToLower(n.Value)] {
		hint = "write !seen(name) for a value that was not seen"
	}
	k.report(n, "unknown-name", "", "the name of a measure, constant or condition", hint)
}

// dashed is the known name, with _ for -, that n and the words beside it make;
// or "".
func (k *kinds) dashed(n *ast.IdentifierNode) string {
	at, _ := span(k.src, k.toks, n)
	part := func(r rune) bool { return r != '-' && r != '_' && !unicode.IsLetter(r) && !unicode.IsDigit(r) }
	from := strings.LastIndexFunc(k.src[:at], part) + 1
	to := len(k.src)
	if i := strings.IndexFunc(k.src[at:], part); i >= 0 {
		to = at + i
	}
	whole := strings.ReplaceAll(k.src[from:to], "-", "_")
	if whole == n.Value || k.env.slot(whole) < 0 {
		return ""
	}
	return whole
}

// wrongKind reports n, which is of kind got.
func (k *kinds) wrongKind(n ast.Node, got, want Kind) {
	at, end := span(k.src, k.toks, n)
	source := k.src[at:end]
	var hint string
	switch {
	case got == text:
		hint = "a word in quotes may stand only beside == or != and " + k.enums()
	case got == Enum:
		hint = "compare it: " + k.sample(n)
	case want == Bool && literal(n):
		hint = "write true or false"
	case want == Bool:
		hint = "compare it with a limit, such as " + shortened(source) + " > 1"
	case want == Number && got == Bool:
		hint = "write " + bracketed(n, shortened(source)) + " ? 1 : 0 to count yes as 1"
	}
	k.report(n, "wrong-kind", quote(source)+", which is "+got.called(), want.called(), hint)
}

func literal(n ast.Node) bool {
	switch n.(type) {
	case *ast.IntegerNode, *ast.FloatNode:
		return true
	}
	return false
}

// bracketed puts brackets round all but a name or call.
func bracketed(n ast.Node, s string) string {
	switch n.(type) {
	case *ast.IdentifierNode, *ast.CallNode:
		return s
	}
	return "(" + s + ")"
}

// sample is a comparison of the enumeration n, always a name, with its first
// word.
func (k *kinds) sample(n ast.Node) string {
	id := n.(*ast.IdentifierNode)
	word := "word"
	if values := k.env.Names[k.env.slot(id.Value)].Values; len(values) > 0 {
		word = values[0]
	}
	return id.Value + " == " + quote(word)
}

// enums lists the names that words may stand beside.
func (k *kinds) enums() string {
	var names []string
	for _, n := range k.env.Names {
		if n.Kind == Enum {
			names = append(names, n.Name)
		}
	}
	if names == nil {
		return "a name that has words for values; there is none here"
	}
	return "one of " + strings.Join(names, ", ")
}

// enum checks that n is a name and other one of its words.
func (k *kinds) enum(n, other ast.Node) {
	id, ok := n.(*ast.IdentifierNode)
	if !ok {
		k.report(n, "wrong-kind", "", "one name", "compare each name on its own")
		return
	}
	values := k.env.Names[k.env.slot(id.Value)].Values
	wanted := `one of "` + strings.Join(values, `", "`) + `"`
	switch o := other.(type) {
	case *ast.StringNode:
		if !slices.Contains(values, o.Value) {
			k.report(o, "unknown-word", "", wanted, meant(o.Value, values))
		}
	case *ast.IdentifierNode:
		hint := "write a word in quotes beside " + id.Value
		if slices.Contains(values, o.Value) {
			hint = "write it in quotes: " + strconv.Quote(o.Value)
		}
		k.report(o, "unquoted-word", "", wanted, hint)
	default:
		k.report(o, "wrong-kind", "", wanted, "write a word in quotes beside "+id.Value)
	}
}

// wrongCount reports a call with too few or too many arguments.
func (k *kinds) wrongCount(n *ast.CallNode, f callable) {
	wanted := strconv.Itoa(f.least)
	if f.most > f.least {
		wanted += " or more"
	}
	hint := "write " + f.usage
	if _, whole, ok := k.commaIn(n); ok {
		hint = "write " + strings.Replace(whole, ",", ".", 1) + " with a point"
	}
	at, end := span(k.src, k.toks, n)
	found := strconv.Itoa(len(n.Arguments)) + " in " + quote(k.src[at:end])
	k.report(n, "wrong-count", found, wanted+" between the brackets of "+f.name, hint)
}

// commaIn finds a comma in the brackets of a call that may be a decimal comma:
// where the number begins, and its text.
func (k *kinds) commaIn(n *ast.CallNode) (at int, whole string, ok bool) {
	from, to := span(k.src, k.toks, n)
	for i, t := range k.toks {
		if t.at < from || t.end > to {
			continue
		}
		if whole, ok := decimalComma(k.src, k.toks, i); ok {
			return k.toks[i-1].at, whole, true
		}
	}
	return 0, "", false
}

// ambiguous reports a comma between two numbers where both readings make sense:
// max(0,5, x).
func (k *kinds) ambiguous(n *ast.CallNode) {
	if at, whole, ok := k.commaIn(n); ok {
		point := strings.Replace(whole, ",", ".", 1)
		k.issues = append(k.issues, Issue{"decimal-comma", at, len(whole), quote(whole), quote(point),
			"write " + point + " with a point, or a blank after the comma"})
	}
}

// seen checks its argument: a name and nothing else.
func (k *kinds) seen(n *ast.CallNode) {
	id, ok := n.Arguments[0].(*ast.IdentifierNode)
	switch {
	case !ok:
		k.report(n.Arguments[0], "wrong-kind", "", "one name", "write seen(name) for each name")
	case k.env.slot(id.Value) < 0:
		k.unknownName(id)
	}
}

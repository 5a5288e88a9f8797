package formula

import (
	"slices"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/parser/lexer"
)

// allow lets through trees of numbers, yes and no, words, names, calls by name,
// arithmetic, comparison, logic and choices, and nothing else.
//
// It also keeps out the two forms that make the parser use one subtree twice,
// a < b < c and a ?: b: the checker would walk nested ones in exponential time.
func allow(src string, toks []token, root ast.Node) []Issue {
	a := allower{src: src, toks: toks}
	a.visit(root)
	return a.issues
}

type allower struct {
	src    string
	toks   []token
	issues []Issue
}

// refuse reports the token of n itself. It looks at nothing below, which may be
// shared.
func (a *allower) refuse(n ast.Node, code, wanted, hint string) {
	from := byteOffsets(a.src)[n.Location().From]
	i := slices.IndexFunc(a.toks, func(t token) bool { return t.end > from || t.Kind == lexer.EOF })
	a.issues = append(a.issues, at(a.src, a.toks[i], code, wanted, hint))
}

func (a *allower) visit(n ast.Node) {
	switch n := n.(type) {
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.StringNode, *ast.IdentifierNode:
	case *ast.NilNode:
		a.refuse(n, "no-nothing", "a name, a number, true or false", "write !seen(name) for a value that was not seen")
	case *ast.UnaryNode:
		a.visit(n.Node)
	case *ast.BinaryNode:
		a.binary(n)
	case *ast.ConditionalNode:
		if n.Cond == n.Exp1 {
			a.refuse(n, "not-allowed", "a choice with three parts", "write condition ? value : other")
			return
		}
		a.visit(n.Cond)
		a.visit(n.Exp1)
		a.visit(n.Exp2)
	case *ast.CallNode:
		if _, ok := n.Callee.(*ast.IdentifierNode); !ok {
			a.refuse(n.Callee, "not-allowed", "the name of a function", "")
			return
		}
		for _, arg := range n.Arguments {
			a.visit(arg)
		}
	default:
		a.refuse(n, "not-allowed", "names, numbers and signs", "")
	}
}

// operators are those a tree may hold between two values.
var operators = wordSet("+ - * / ** ^ < <= > >= == != && || and or")

func (a *allower) binary(n *ast.BinaryNode) {
	if !operators[n.Operator] {
		a.refuse(n, "not-allowed", "names, numbers and signs", refused[n.Operator])
		return
	}
	if chained(n) {
		a.refuse(n.Right, "chained-comparison", "no second comparison in a row", "write a < b && b < c")
		return
	}
	a.visit(n.Left)
	a.visit(n.Right)
}

// chained reports whether the parser made n of a < b < c, as a < b && b < c
// with one and the same b. A longer chain stands left of its last &&.
func chained(n *ast.BinaryNode) bool {
	first, ok := n.Left.(*ast.BinaryNode)
	second, ok2 := n.Right.(*ast.BinaryNode)
	if !ok || !ok2 {
		return false
	}
	if last, longer := first.Right.(*ast.BinaryNode); longer && first.Operator == "&&" {
		first = last
	}
	return first.Right == second.Left
}

package formula

import (
	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/checker"
	"github.com/expr-lang/expr/parser"
)

// check finds every value of the wrong kind and every unknown name. What the
// parser's own checker finds beyond that is refused as well.
func check(src string, toks []token, tree *parser.Tree, want Kind, env *Env) []Issue {
	err := typecheck(tree, env)
	k := kinds{src: src, toks: toks, env: env}
	k.check(tree.Node, want)
	if err != nil && k.issues == nil {
		t := Issue{Code: "wrong-kind", Offset: stop(src, err), Wanted: "values that go together"}
		t.Found = quote(src[t.Offset:])
		k.issues = append(k.issues, t)
	}
	return k.issues
}

// typecheck runs expr's checker.
func typecheck(tree *parser.Tree, env *Env) error {
	_, err := checker.Check(tree, settings(env))
	return err
}

// kinds walks a tree top down with the kind wanted of each part.
type kinds struct {
	src    string
	toks   []token
	env    *Env
	issues []Issue
}

const (
	text    Kind = 100 + iota // a word between quotes
	unknown                   // already reported, or about to be
)

// of is the kind of a part, as far as it can be told.
func (k *kinds) of(n ast.Node) Kind {
	switch n := n.(type) {
	case *ast.IntegerNode, *ast.FloatNode:
		return Number
	case *ast.BoolNode:
		return Bool
	case *ast.StringNode:
		return text
	case *ast.IdentifierNode:
		if s := k.env.slot(n.Value); s >= 0 {
			return k.env.Names[s].Kind
		}
	case *ast.UnaryNode:
		if n.Operator == "-" || n.Operator == "+" {
			return Number
		}
		return Bool
	case *ast.BinaryNode:
		if arithmetic[n.Operator] {
			return Number
		}
		return Bool
	case *ast.CallNode:
		if calleeOf(n) == "seen" {
			return Bool
		}
		return Number
	case *ast.ConditionalNode:
		if first := k.of(n.Exp1); first != unknown {
			return first
		}
		return k.of(n.Exp2)
	}
	return unknown
}

var (
	arithmetic = wordSet("+ - * / ** ^")
	equality   = wordSet("== !=")
	logic      = wordSet("&& || and or")
)

func calleeOf(n *ast.CallNode) string { return n.Callee.(*ast.IdentifierNode).Value }

// check reports n unless it is of the kind wanted, and whatever is wrong inside.
func (k *kinds) check(n ast.Node, want Kind) {
	switch n := n.(type) {
	case *ast.ConditionalNode:
		k.check(n.Cond, Bool)
		k.check(n.Exp1, want)
		k.check(n.Exp2, want)
		return
	case *ast.IdentifierNode:
		if k.env.slot(n.Value) < 0 {
			k.unknownName(n)
			return
		}
	case *ast.UnaryNode:
		if want == Number && k.of(n) == Bool && k.of(n.Node) == Number {
			k.report(n, "wrong-kind", "", want.called(), "write brackets round the whole comparison: "+n.Operator+" (…)")
			return
		}
	}
	if got := k.of(n); got != want {
		k.wrongKind(n, got, want)
	}
	switch n := n.(type) {
	case *ast.UnaryNode:
		k.unary(n)
	case *ast.BinaryNode:
		k.binary(n)
	case *ast.CallNode:
		k.call(n)
	}
}

func (k *kinds) unary(n *ast.UnaryNode) {
	if k.of(n) == Number {
		k.check(n.Node, Number)
		return
	}
	k.check(n.Node, Bool)
}

func (k *kinds) binary(n *ast.BinaryNode) {
	want := Number
	switch {
	case equality[n.Operator]:
		k.equal(n)
		return
	case logic[n.Operator]:
		want = Bool
	}
	k.check(n.Left, want)
	k.check(n.Right, want)
}

// equal checks == and !=: two numbers, two yes-no values, or an enumeration and
// one of its words.
func (k *kinds) equal(n *ast.BinaryNode) {
	left, right := k.of(n.Left), k.of(n.Right)
	switch {
	case left == Enum:
		k.enum(n.Left, n.Right)
	case right == Enum:
		k.enum(n.Right, n.Left)
	case left == Bool || left == Number:
		k.check(n.Left, left)
		k.check(n.Right, left)
	case right == Bool || right == Number:
		k.check(n.Left, right)
		k.check(n.Right, right)
	default:
		k.check(n.Left, Number)
		k.check(n.Right, Number)
	}
}

func (k *kinds) call(n *ast.CallNode) {
	name := calleeOf(n)
	f, _ := k.env.function(name)
	if c := len(n.Arguments); c < f.least || c > f.most {
		k.wrongCount(n, f)
		return
	}
	if name == "seen" {
		k.seen(n)
		return
	}
	if f.most > f.least && len(n.Arguments) > 2 {
		k.ambiguous(n)
	}
	for _, arg := range n.Arguments {
		k.check(arg, Number)
	}
}

package formula

import (
	"slices"

	"github.com/expr-lang/expr/ast"
)

// lower turns a checked tree into functions. It computes what is constant once,
// and reports what can never be a number.
func (p *Program) lower(toks []token, root ast.Node, env *Env) []Issue {
	l := lowerer{kinds: kinds{src: p.source, toks: toks, env: env}, env: env}
	p.eval = l.operand(root).value()
	slices.Sort(l.reads)
	p.reads = slices.Compact(l.reads)
	return l.kinds.issues
}

type lowerer struct {
	kinds kinds
	env   *Env
	reads []int
}

// read is the slot of a name, noted as read.
func (l *lowerer) read(n ast.Node) int {
	s := l.env.slot(n.(*ast.IdentifierNode).Value)
	l.reads = append(l.reads, s)
	return s
}

func (l *lowerer) operand(n ast.Node) operand {
	switch n := n.(type) {
	case *ast.IntegerNode:
		return constant(float64(n.Value))
	case *ast.FloatNode:
		return constant(n.Value)
	case *ast.BoolNode:
		v, _ := bit(n.Value)
		return constant(v)
	case *ast.IdentifierNode:
		return operand{slot: l.read(n)}
	case *ast.UnaryNode:
		return l.unary(n)
	case *ast.BinaryNode:
		return l.binary(n)
	case *ast.ConditionalNode:
		c, a, b := l.operand(n.Cond), l.operand(n.Exp1), l.operand(n.Exp2)
		return l.fold(n, choose(c, a, b), c, a, b)
	}
	return l.call(n.(*ast.CallNode))
}

func (l *lowerer) unary(n *ast.UnaryNode) operand {
	o := l.operand(n.Node)
	switch n.Operator {
	case "+":
		return o
	case "-":
		return l.fold(n, scale(o, -1), o)
	}
	return l.fold(n, not(o), o)
}

func (l *lowerer) binary(n *ast.BinaryNode) operand {
	if o, ok := l.word(n); ok {
		return o
	}
	a, b := l.operand(n.Left), l.operand(n.Right)
	var f value
	switch {
	case n.Operator == "/" && b.constant && b.number == 0:
		l.kinds.report(n, "division-by-zero", "", "a divisor other than 0", "")
		return constant(1)
	case arithmetic[n.Operator]:
		f = binary(n.Operator, a, b)
	case n.Operator == "&&" || n.Operator == "and":
		f = and(a, b)
	case n.Operator == "||" || n.Operator == "or":
		f = or(a, b)
	default:
		f = compare(n.Operator, a, b)
	}
	return l.fold(n, f, a, b)
}

// word lowers a comparison of an enumeration with one of its words, which is
// its index.
func (l *lowerer) word(n *ast.BinaryNode) (operand, bool) {
	name, word := n.Left, n.Right
	if l.kinds.of(name) == text {
		name, word = word, name
	}
	s, ok := word.(*ast.StringNode)
	if !ok {
		return operand{}, false
	}
	slot := l.read(name)
	i := slices.Index(l.env.Names[slot].Values, s.Value)
	return operand{eval: compare(n.Operator, operand{slot: slot}, constant(float64(i)))}, true
}

func (l *lowerer) call(n *ast.CallNode) operand {
	name := calleeOf(n)
	if name == "seen" {
		return operand{eval: known(l.read(n.Arguments[0]))}
	}
	args := make([]operand, len(n.Arguments))
	for i, arg := range n.Arguments {
		args[i] = l.operand(arg)
	}
	for _, f := range l.env.Funcs {
		if f.Name == name {
			return operand{eval: external(f, args)}
		}
	}
	return l.fold(n, call(name, args), args...)
}

// fold computes f at once if all it reads is constant.
func (l *lowerer) fold(n ast.Node, f value, of ...operand) operand {
	if slices.ContainsFunc(of, func(o operand) bool { return !o.constant }) {
		return operand{eval: f}
	}
	v, _ := f(nil)
	if !finite(v) {
		l.kinds.report(n, "not-finite", "", "an expression with a finite value", "")
		return constant(1)
	}
	return constant(v)
}

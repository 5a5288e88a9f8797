package formula

import (
	"math"
	"slices"

	"github.com/expr-lang/expr/ast"
)

// lower turns a checked tree into functions. It computes what is constant once,
// and reports what can never be a number.
func (p *Program) lower(toks []token, root ast.Node, want Kind, env *Env) []Issue {
	l := lowerer{kinds: kinds{src: p.source, toks: toks, env: env}, env: env}
	if want == Bool {
		p.condition = l.condition(root)
	} else {
		p.number = l.operand(root).number()
	}
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

// operand lowers a number.
func (l *lowerer) operand(n ast.Node) operand {
	switch n := n.(type) {
	case *ast.IntegerNode:
		return constant(float64(n.Value))
	case *ast.FloatNode:
		return constant(n.Value)
	case *ast.IdentifierNode:
		return operand{slot: l.read(n)}
	case *ast.UnaryNode:
		return l.sign(n)
	case *ast.BinaryNode:
		return l.arithmetic(n)
	case *ast.ConditionalNode:
		return operand{eval: choose(l.condition(n.Cond), l.operand(n.Exp1), l.operand(n.Exp2))}
	}
	return l.call(n.(*ast.CallNode))
}

func (l *lowerer) sign(n *ast.UnaryNode) operand {
	o := l.operand(n.Node)
	if n.Operator == "+" {
		return o
	}
	return l.fold(n, negate(o), o)
}

func (l *lowerer) arithmetic(n *ast.BinaryNode) operand {
	a, b := l.operand(n.Left), l.operand(n.Right)
	if n.Operator == "/" && b.constant() && b.value == 0 {
		l.kinds.report(n, "division-by-zero", "", "a divisor other than 0", "")
		return constant(1)
	}
	return l.fold(n, binary(n.Operator, a, b), a, b)
}

func (l *lowerer) call(n *ast.CallNode) operand {
	args := make([]operand, len(n.Arguments))
	for i, arg := range n.Arguments {
		args[i] = l.operand(arg)
	}
	name := calleeOf(n)
	for _, f := range l.env.Funcs {
		if f.Name == name {
			return operand{eval: external(f, args)}
		}
	}
	return l.fold(n, call(name, args), args...)
}

// fold computes f at once if all it reads is constant.
func (l *lowerer) fold(n ast.Node, f number, of ...operand) operand {
	if slices.ContainsFunc(of, func(o operand) bool { return !o.constant() }) {
		return operand{eval: f}
	}
	v, _ := f(nil)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		l.kinds.report(n, "not-finite", "", "an expression with a finite value", "")
		return constant(1)
	}
	return constant(v)
}

// condition lowers a yes-no value.
func (l *lowerer) condition(n ast.Node) condition {
	switch n := n.(type) {
	case *ast.BoolNode:
		return always(truthOf(n.Value))
	case *ast.IdentifierNode:
		return yesNo(l.read(n))
	case *ast.UnaryNode:
		return not(l.condition(n.Node))
	case *ast.ConditionalNode:
		return pick(l.condition(n.Cond), l.condition(n.Exp1), l.condition(n.Exp2))
	case *ast.CallNode:
		return known(l.read(n.Arguments[0]))
	}
	return l.relation(n.(*ast.BinaryNode))
}

func (l *lowerer) relation(n *ast.BinaryNode) condition {
	switch n.Operator {
	case "&&", "and":
		return and(l.condition(n.Left), l.condition(n.Right))
	case "||", "or":
		return or(l.condition(n.Left), l.condition(n.Right))
	}
	if !equality[n.Operator] || l.kinds.of(n.Left) == Number {
		return compare(n.Operator, l.operand(n.Left), l.operand(n.Right))
	}
	c := l.equal(n)
	if n.Operator == "!=" {
		return not(c)
	}
	return c
}

// equal lowers == between an enumeration and a word, or two yes-no values.
func (l *lowerer) equal(n *ast.BinaryNode) condition {
	name, word := n.Left, n.Right
	if l.kinds.of(name) == text {
		name, word = word, name
	}
	if s, ok := word.(*ast.StringNode); ok {
		slot := l.read(name)
		return is(slot, slices.Index(l.env.Names[slot].Values, s.Value))
	}
	return same(l.condition(n.Left), l.condition(n.Right))
}

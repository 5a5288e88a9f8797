// Package formula compiles the expressions that instructors write into rubric
// files: the conditions, costs and formulas of a rule.
//
// The writer of a file is not trusted. Nothing an expression can say crashes,
// hangs or allocates without bound: its length, its number of words and its
// nesting are limited before it is parsed, and only names, numbers, arithmetic,
// comparisons, logic, choices and the functions listed here get through. There
// is no loop, no clock, no chance and no way out to the program around it.
//
// The lexer, parser and type checker are those of github.com/expr-lang/expr.
// What runs is ours: Go closures over a slice of float64, which allocate
// nothing, keep no state and know values that were not seen.
//
// # What was not seen
//
// Arithmetic, comparisons and functions are not seen when any input of theirs
// is not seen. && and || follow Kleene's strong three-valued logic: a surely
// false part makes && false, and a surely true part makes || true, whatever the
// other part is. A choice c ? a : b is not seen when c is not, even where a and
// b agree. seen(name) is always seen.
//
// # What is not a number
//
// Where arithmetic leaves the finite numbers (a division by zero, the root of a
// negative number) everything computed from it is not finite either: a
// comparison, min, max or clamp does not hide it. A part of && or || that
// decides alone still does.
package formula

import (
	"slices"

	"github.com/expr-lang/expr/parser"
)

// Kind is what a value is.
type Kind uint8

// The kinds of value.
const (
	Number Kind = iota // in the unit its name stands for
	Bool               // yes or no
	Enum               // one of a few words, such as the ball: live or dry
)

// Name is something an expression may read. Its slot is its index in Env.Names.
type Name struct {
	Name   string
	Kind   Kind
	Values []string // the words of an Enum
}

// Inputs are the values of the names, by slot: a Bool is 0 or 1, an Enum the
// index of its word in Name.Values. X and Seen are as long as Env.Names.
type Inputs struct {
	X    []float64
	Seen []bool
}

// Func is a number function beside the built-in ones, of Arity 0 to 3. Call is
// reached with finite arguments, all seen; it must not keep in, must end, and
// must be safe in all goroutines.
type Func struct {
	Name  string
	Arity int
	Call  func(in *Inputs, a [3]float64) (v float64, seen bool)
}

// Env is what expressions may use beside the built-in functions. No name or
// function in it may be Reserved.
type Env struct {
	Names []Name
	Funcs []Func
}

// Issue is one slip in an expression. Programs match Code, people read the
// rest.
type Issue struct {
	Code   string // stable name of the kind of slip, e.g. "unknown-name"
	Offset int    // where it begins, in bytes of the source
	Length int    // in bytes; 0 where something is missing
	Found  string // what stands there
	Wanted string // what may stand there
	Hint   string // what to do about it, or ""
}

// Program is a compiled expression. It is immutable.
type Program struct {
	source string
	reads  []int
	eval   value
}

// Compile makes a program of an expression that yields want, Number or Bool.
// The program is nil if there are issues; they come in the order of the source.
func Compile(src string, want Kind, env *Env) (*Program, []Issue) {
	toks, issues := scan(src)
	if issues == nil {
		issues = gate(src, toks, env)
	}
	var tree *parser.Tree
	if issues == nil {
		tree, issues = parse(src, toks, env)
	}
	if issues == nil {
		issues = allow(src, toks, tree.Node)
	}
	if issues == nil {
		issues = check(src, toks, tree, want, env)
	}
	p := &Program{source: src}
	if issues == nil {
		issues = p.lower(toks, tree.Node, env)
	}
	if issues != nil {
		slices.SortStableFunc(issues, func(a, b Issue) int { return a.Offset - b.Offset })
		return nil, issues
	}
	return p, nil
}

// Eval computes the value for in. A Bool is 0 or 1; a value not seen is 0. NaN
// and ±Inf are returned as they are, by a Bool too, and mean that arithmetic
// left the finite numbers.
func (p *Program) Eval(in *Inputs) (v float64, seen bool) {
	return p.eval(in)
}

// Reads lists the slots of the names in the expression, sorted, each once.
func (p *Program) Reads() []int { return slices.Clone(p.reads) }

// Source is the text the program was compiled from.
func (p *Program) Source() string { return p.source }

package formula

import (
	"errors"
	"reflect"
	"slices"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/builtin"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
	"github.com/expr-lang/expr/parser/lexer"
)

// parse makes the tree of a source that has passed the gate.
func parse(src string, toks []token, env *Env) (*parser.Tree, []Issue) {
	tree, err := parser.ParseWithConfig(src, settings(env))
	if err != nil {
		return nil, []Issue{misplaced(src, toks, stop(src, err))}
	}
	return tree, nil
}

// settings tells expr the names with their types, strictly: any other is an
// error. Every function is a plain call; the parser's own ones are not ours.
func settings(env *Env) *conf.Config {
	types := map[string]any{}
	for _, n := range env.Names {
		types[n.Name] = [...]any{Number: float64(0), Bool: false, Enum: ""}[n.Kind]
	}
	c := conf.New(types)
	for _, b := range c.Builtins {
		c.Disabled[b.Name] = true
	}
	for _, f := range env.functionNames() {
		c.Functions[f] = signature(f)
	}
	return c
}

// signature is what expr's checker knows of a function: what it returns. Its
// arguments are checked by kind.
func signature(name string) *builtin.Function {
	f := &builtin.Function{Name: name, Types: []reflect.Type{reflect.TypeFor[func(...any) float64]()}}
	if name == "seen" {
		f.Types[0] = reflect.TypeFor[func(...any) bool]()
	}
	return f
}

// stop is the byte at which the parser or checker stopped.
func stop(src string, err error) int {
	var e *file.Error
	if !errors.As(err, &e) {
		return len(src)
	}
	offsets := byteOffsets(src)
	return offsets[min(max(e.From, 0), len(offsets)-1)]
}

// span is the place of a subtree: from its first token to its last, brackets
// around it left out.
func span(src string, toks []token, n ast.Node) (at, end int) {
	s := spanner{first: len(toks), toks: toks, offsets: byteOffsets(src)}
	ast.Walk(&n, &s)
	s.balance()
	return toks[s.first].at, toks[s.last].end
}

type spanner struct {
	toks        []token
	first, last int // tokens
	offsets     []int
}

// Visit widens the span to n. A choice has no place of its own: the parser
// records what follows it.
func (s *spanner) Visit(n *ast.Node) {
	if _, ok := (*n).(*ast.ConditionalNode); ok {
		return
	}
	at := s.offsets[(*n).Location().From]
	i := slices.IndexFunc(s.toks, func(t token) bool { return t.end > at })
	s.first, s.last = min(s.first, i), max(s.last, i)
	if _, ok := (*n).(*ast.CallNode); ok {
		s.last = max(s.last, i+1)
	}
}

// balance takes in the brackets that are half inside: nothing else stands
// between them and the first or last token.
func (s *spanner) balance() {
	open := 0
	for i := s.first; i <= s.last; i++ {
		switch {
		case s.toks[i].Is(lexer.Bracket, "("):
			open++
		case s.toks[i].Is(lexer.Bracket, ")"):
			open--
		}
		if open < 0 {
			s.first--
			open++
		}
	}
	s.last += open
}

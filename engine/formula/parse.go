package formula

import (
	"errors"
	"reflect"

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
	s := spanner{at: len(src), offsets: byteOffsets(src), toks: toks}
	ast.Walk(&n, &s)
	return s.at, s.end
}

type spanner struct {
	at, end int
	offsets []int
	toks    []token
}

// Visit widens the span to n. A choice has no place of its own: the parser
// records what follows it.
func (s *spanner) Visit(n *ast.Node) {
	if _, ok := (*n).(*ast.ConditionalNode); ok {
		return
	}
	loc := (*n).Location()
	s.at = min(s.at, s.offsets[loc.From])
	s.end = max(s.end, s.offsets[loc.To])
	if _, ok := (*n).(*ast.CallNode); ok {
		s.end = max(s.end, s.closing(s.offsets[loc.To]))
	}
}

// closing is the end of the bracket that closes the arguments of the call whose
// name ends at the byte.
func (s *spanner) closing(name int) int {
	depth := 0
	for _, t := range s.toks {
		switch {
		case t.at < name || t.Kind != lexer.Bracket:
		case t.Value == "(":
			depth++
		default:
			if depth--; depth == 0 {
				return t.end
			}
		}
	}
	return name
}

package formula

import (
	"math"
	"slices"

	"rootcue/engine/place"
)

// keywords belong to the parser; none can be a name.
var keywords = []string{"and", "or", "not", "in", "let", "if", "else", "matches", "contains",
	"startsWith", "endsWith", "true", "false", "nil"}

// callable is a function as its user sees it.
type callable struct {
	name        string
	least, most int // arguments
	usage       string
}

// builtins are the functions that every expression may call.
var builtins = []callable{
	{"seen", 1, 1, "seen(name)"},
	{"min", 2, math.MaxInt, "min(a, b)"},
	{"max", 2, math.MaxInt, "max(a, b)"},
	{"abs", 1, 1, "abs(x)"},
	{"sqrt", 1, 1, "sqrt(x)"},
	{"clamp", 3, 3, "clamp(x, lowest, highest)"},
}

// Reserved reports whether the language itself uses the word, so that no
// measure, constant or function may be called by it.
func Reserved(word string) bool {
	return slices.Contains(keywords, word) ||
		slices.ContainsFunc(builtins, func(b callable) bool { return b.name == word })
}

// function finds a function by its name, built in or not.
func (env *Env) function(name string) (callable, bool) {
	for _, b := range builtins {
		if b.name == name {
			return b, true
		}
	}
	for _, f := range env.Funcs {
		if f.Name == name {
			usage := name + [...]string{"()", "(a)", "(a, b)", "(a, b, c)"}[f.Arity]
			return callable{name, f.Arity, f.Arity, usage}, true
		}
	}
	return callable{}, false
}

// slot finds a name, or returns -1.
func (env *Env) slot(name string) int {
	return slices.IndexFunc(env.Names, func(n Name) bool { return n.Name == name })
}

func (env *Env) functionNames() []string {
	var names []string
	for _, b := range builtins {
		names = append(names, b.name)
	}
	for _, f := range env.Funcs {
		names = append(names, f.Name)
	}
	return names
}

func (env *Env) names() []string {
	var names []string
	for _, n := range env.Names {
		names = append(names, n.Name)
	}
	return names
}

// meant is the hint for a misspelt word, or "".
func meant(word string, known []string) string {
	if near := place.Nearest(word, known); near != "" {
		return "did you mean " + quote(near) + "?"
	}
	return ""
}

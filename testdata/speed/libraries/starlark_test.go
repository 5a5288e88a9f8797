package libraries

import (
	"fmt"
	"math"
	"testing"

	"go.starlark.net/starlark"
	"go.starlark.net/syntax"
)

// byStarlark makes of each rule a function whose names are bound to the inputs.
func byStarlark(t testing.TB, w work, src string) func() any {
	t.Helper()
	names := starlark.StringDict{
		"sqrt": starFunc("sqrt", func(a []float64) float64 { return math.Sqrt(a[0]) }), "pow": starFunc("pow", func(a []float64) float64 { return math.Pow(a[0], a[1]) }),
		"clamp": starFunc("clamp", func(a []float64) float64 { return clamp(a[0], a[1], a[2]) }),
	}
	for name, v := range w.Inputs {
		switch v := v.(type) {
		case bool:
			names[name] = starlark.Bool(v)
		case string:
			names[name] = starlark.String(v)
		case float64:
			names[name] = starlark.Float(v)
		}
	}
	program := "def rule():\n    return " + inPython(src) + "\n"
	thread := &starlark.Thread{Name: "rules"}
	defined, err := starlark.ExecFileOptions(&syntax.FileOptions{}, thread, "rule.star", program, names)
	if err != nil {
		t.Fatal(fmt.Errorf("%s: %w", program, err))
	}
	run := defined["rule"]
	return func() any {
		out, err := starlark.Call(thread, run, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		switch out := out.(type) {
		case starlark.Bool:
			return bool(out)
		case starlark.Float:
			return float64(out)
		case starlark.Int:
			return float64(out.Float())
		}
		return out
	}
}

func starFunc(name string, fn func([]float64) float64) *starlark.Builtin {
	return starlark.NewBuiltin(name, func(_ *starlark.Thread, b *starlark.Builtin, args starlark.Tuple, _ []starlark.Tuple) (starlark.Value, error) {
		var a [3]float64
		for i, v := range args {
			x, ok := starlark.AsFloat(v)
			if !ok {
				return nil, fmt.Errorf("%s: %s is no number", b.Name(), v)
			}
			a[i] = x
		}
		return starlark.Float(fn(a[:len(args)])), nil
	})
}

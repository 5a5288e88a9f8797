package libraries

import (
	"math"
	"testing"

	"cel.dev/cel-go/cel"
	"cel.dev/cel-go/common/types"
	"cel.dev/cel-go/common/types/ref"
)

func byCEL(t testing.TB, w work, src string) func() any {
	t.Helper()
	var opts []cel.EnvOption
	for name, v := range w.Inputs {
		kind := cel.DoubleType
		switch v.(type) {
		case bool:
			kind = cel.BoolType
		case string:
			kind = cel.StringType
		}
		opts = append(opts, cel.Variable(name, kind))
	}
	opts = append(opts, celFunc("abs", 1, func(a []float64) float64 { return math.Abs(a[0]) }),
		celFunc("sqrt", 1, func(a []float64) float64 { return math.Sqrt(a[0]) }),
		celFunc("min", 2, func(a []float64) float64 { return min(a[0], a[1]) }),
		celFunc("max", 2, func(a []float64) float64 { return max(a[0], a[1]) }),
		celFunc("pow", 2, func(a []float64) float64 { return math.Pow(a[0], a[1]) }),
		celFunc("clamp", 3, func(a []float64) float64 { return clamp(a[0], a[1], a[2]) }))
	env, err := cel.NewEnv(opts...)
	if err != nil {
		t.Fatal(err)
	}
	ast, issues := env.Compile(wholesAsFloats(power.ReplaceAllString(src, "pow($1, $2)")))
	if issues.Err() != nil {
		t.Fatal(issues.Err())
	}
	program, err := env.Program(ast, cel.EvalOptions(cel.OptOptimize))
	if err != nil {
		t.Fatal(err)
	}
	return func() any {
		out, _, err := program.Eval(w.Inputs)
		if err != nil {
			t.Fatal(err)
		}
		return out.Value()
	}
}

func celFunc(name string, n int, fn func([]float64) float64) cel.EnvOption {
	var kinds []*cel.Type
	for range n {
		kinds = append(kinds, cel.DoubleType)
	}
	call := func(args ...ref.Val) ref.Val {
		var a [3]float64
		for i, v := range args {
			a[i] = float64(v.(types.Double))
		}
		return types.Double(fn(a[:len(args)]))
	}
	var binding cel.OverloadOpt
	switch n {
	case 1:
		binding = cel.UnaryBinding(func(x ref.Val) ref.Val { return call(x) })
	case 2:
		binding = cel.BinaryBinding(func(x, y ref.Val) ref.Val { return call(x, y) })
	default:
		binding = cel.FunctionBinding(call)
	}
	return cel.Function(name, cel.Overload(name+"_double", kinds, cel.DoubleType, binding))
}

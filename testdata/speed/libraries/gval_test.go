package libraries

import (
	"context"
	"math"
	"testing"

	"github.com/PaesslerAG/gval"
)

var gvalLanguage = gval.Full(
	gval.Function("abs", math.Abs), gval.Function("sqrt", math.Sqrt), gval.Function("clamp", clamp),
	gval.Function("min", func(x, y float64) float64 { return min(x, y) }),
	gval.Function("max", func(x, y float64) float64 { return max(x, y) }),
)

func byGval(t testing.TB, w work, src string) func() any {
	t.Helper()
	run, err := gvalLanguage.NewEvaluable(src)
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	return func() any {
		out, err := run(ctx, w.Inputs)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
}

package rubric

import "rootcue/engine/formula"

// Functions are what formulas may call beside the built-in functions.
var Functions = []formula.Func{
	{Name: "flight_time", Arity: 2, Call: notSeen}, // speed m/s, distance m → s
	{Name: "speed_for", Arity: 2, Call: notSeen},   // time s, distance m → m/s
	{Name: "chance_out", Arity: 1, Call: notSeen},  // pop s → chance
}

func notSeen(*formula.Inputs, [3]float64) (float64, bool) { return 0, false }

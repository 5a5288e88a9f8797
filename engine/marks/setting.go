package marks

import "rootcue/engine/quantity"

// A Setting is what marks of a rep need to know beside the pictures.
type Setting struct {
	Throws         string         // "left", "right" or "" where not stated
	Stature        quantity.Value // m; X is 0 where none is known
	DistanceM      float64        // of the throw, m; 0 where not known
	ArrivalHeightM quantity.Value // m, read only with HasArrival
	HasArrival     bool
	StepShare      quantity.Value // the stride's length as stated, shares of stature; X is 0 where not stated
	Bounced        bool           // the throw bounced: its flight time tells no speed
	Dry            bool           // no catch: `catch` marks the mitt's first movement
}

// A Derived is one measure read off marks. Value is in Unit, as formulas
// see it.
type Derived struct {
	Measure string
	Value   quantity.Value
	Unit    string // "s", "m/s", "deg" or "stature"
	From    string // the camera and the marks it came from
}

// A Note says what was assumed, or why a measure was not derived.
type Note struct {
	Code string // stable name of the note
	Says string // the note in a sentence
}

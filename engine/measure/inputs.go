package measure

import (
	"slices"

	"rootcue/engine/quantity"
)

func sortedInputs(set map[quantity.Input]bool) []quantity.Input {
	list := make([]quantity.Input, 0, len(set))
	for in := range set {
		list = append(list, in)
	}
	slices.Sort(list)
	return list
}

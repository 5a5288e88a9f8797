package rubric

// ConditionNamed finds a condition by its key, -1 if there is none.
func ConditionNamed(key string) Condition {
	for i, name := range ConditionNames {
		if name == key {
			return Condition(i)
		}
	}
	return -1
}

// WordNamed finds a word among the values of an enumerated condition, -1 if it
// is none of them.
func WordNamed(c Condition, word string) int {
	for i, w := range Enumerations[c] {
		if w == word {
			return i
		}
	}
	return -1
}

// AppliesTo reports whether the limit holds for a band.
func (l *Limit) AppliesTo(band int) bool {
	return l.Kind == MustBe || l.Kind != "" && l.Has[band]
}

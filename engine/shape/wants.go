package shape

import (
	"fmt"
	"math"
	"strings"

	"rootcue/engine/place"
)

// wants says in words what the shape takes, for "wanted …".
func (s *Shape) wants() string {
	switch s.kind {
	case textKind:
		if s.says != "" {
			return s.says
		}
		return "a text"
	case boolKind:
		return "true or false"
	case numberKind:
		return s.wantsNumber()
	case enumKind:
		return "one of " + strings.Join(s.words, ", ")
	case listKind:
		return s.wantsList()
	case mapKind:
		return s.wantsMap()
	case anyKind:
		return "a value"
	}
	each := make([]string, len(s.oneOf))
	for i, o := range s.oneOf {
		each[i] = o.wants()
	}
	return place.List(each)
}

func (s *Shape) wantsNumber() string {
	what := "a number"
	if s.whole {
		what = "a whole number"
	}
	switch {
	case math.IsInf(s.lo, -1) && math.IsInf(s.hi, 1):
		return what
	case math.IsInf(s.hi, 1):
		return fmt.Sprintf("%s of at least %v", what, s.lo)
	case math.IsInf(s.lo, -1):
		return fmt.Sprintf("%s of at most %v", what, s.hi)
	}
	return fmt.Sprintf("%s from %v to %v", what, s.lo, s.hi)
}

func (s *Shape) wantsList() string {
	switch {
	case s.least == s.most && s.most > 0:
		return fmt.Sprintf("a list of %d, each %s", s.most, s.item.wants())
	case s.most > 0:
		return fmt.Sprintf("a list of %d to %d, each %s", s.least, s.most, s.item.wants())
	case s.least > 0:
		return fmt.Sprintf("a list of at least %d, each %s", s.least, s.item.wants())
	}
	return "a list, each item " + s.item.wants()
}

func (s *Shape) wantsMap() string {
	switch {
	case s.free != nil:
		return "a map from " + s.freeKey.What + " to " + s.free.wantsShort() + s.wantsEntries()
	case len(s.keys) > 0:
		return "a map with the keys " + place.List(s.KeyNames())
	}
	return "a map"
}

// wantsEntries says how many entries a map may have.
func (s *Shape) wantsEntries() string {
	switch {
	case s.least > 0 && s.most > 0:
		return fmt.Sprintf(", %d to %d of them", s.least, s.most)
	case s.most > 0:
		return fmt.Sprintf(", at most %d", s.most)
	case s.least > 0:
		return fmt.Sprintf(", at least %d", s.least)
	}
	return ""
}

// wantsShort names the kind only, so that maps of maps read well.
func (s *Shape) wantsShort() string {
	switch s.kind {
	case mapKind:
		return "a map"
	case listKind:
		return "a list"
	}
	return s.wants()
}

// typeHint helps with the usual reasons for a value of the wrong kind.
func (s *Shape) typeHint(n *Node) string {
	switch {
	case n.Kind == Text && s.takes(numberKind) && commaNumber.MatchString(n.Text):
		return "write it as " + strings.Replace(n.Text, ",", ".", 1)
	case n.Kind == Text && n.style != plain && (s.takes(numberKind) || s.takes(boolKind)):
		return "take the quotes off"
	case n.Kind == Text && s.takes(boolKind):
		return "write true or false"
	case (n.Kind == Number || n.Kind == Bool) && (s.takes(textKind) || s.takes(enumKind)):
		return "put it into quotes to make it a text"
	case n.Kind != List && s.takes(listKind) && !s.takes(mapKind):
		return "put it into [ ]"
	}
	return ""
}

// takes reports whether the shape, or one of its alternatives, is of a kind.
func (s *Shape) takes(k kind) bool {
	for _, o := range s.oneOf {
		if o.takes(k) {
			return true
		}
	}
	return s.kind == k
}

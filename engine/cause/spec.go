package cause

import "fmt"

// check refuses what is no network: numbers that are not chances, ends that are
// not nodes, a link given twice, and more open pairs than MaxPairs.
func (s Spec) check() error {
	if len(s.Pairs) > MaxPairs {
		return fmt.Errorf("cause: %d pairs are open in direction, want at most %d", len(s.Pairs), MaxPairs)
	}
	for i, b := range s.Background {
		if !isChance(b) {
			return fmt.Errorf("cause: background of node %d is %v, want a number in [0, 1]", i, b)
		}
	}
	if err := s.checkLinks(); err != nil {
		return err
	}
	return s.checkPairs()
}

func (s Spec) checkLinks() error {
	seen := make(map[[2]int]bool, len(s.Links))
	for i, l := range s.Links {
		ends := [2]int{l.From, l.To}
		switch {
		case !s.has(l.From) || !s.has(l.To):
			return fmt.Errorf("cause: link %d joins %d to %d, want nodes from 0 to %d", i, l.From, l.To, len(s.Background)-1)
		case !isChance(l.Strength):
			return fmt.Errorf("cause: strength of link %d, %d to %d, is %v, want a number in [0, 1]", i, l.From, l.To, l.Strength)
		case seen[ends]:
			return fmt.Errorf("cause: link %d joins %d to %d, which an earlier link does already", i, l.From, l.To)
		}
		seen[ends] = true
	}
	return nil
}

func (s Spec) checkPairs() error {
	for i, p := range s.Pairs {
		switch {
		case !s.has(p.First) || !s.has(p.Second):
			return fmt.Errorf("cause: pair %d joins %d and %d, want nodes from 0 to %d", i, p.First, p.Second, len(s.Background)-1)
		case !isChance(p.Weight):
			return fmt.Errorf("cause: weight of pair %d, %d and %d, is %v, want a number in [0, 1]", i, p.First, p.Second, p.Weight)
		case !isChance(p.Strength):
			return fmt.Errorf("cause: strength of pair %d, %d and %d, is %v, want a number in [0, 1]", i, p.First, p.Second, p.Strength)
		}
	}
	return nil
}

func (s Spec) has(node int) bool { return node >= 0 && node < len(s.Background) }

// isChance is false for NaN as well.
func isChance(p float64) bool { return p >= 0 && p <= 1 }

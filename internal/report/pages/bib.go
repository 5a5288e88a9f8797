package pages

import "slices"

// Bib is what the page of one bib shows: every grade behind its place.
type Bib struct {
	Tryout    Titled // by id
	Bib       string
	Closed    bool
	Withdrawn bool
	Stood     *Stood // nil where there is no standing
	Tier, Of  int    // tier; players that stand
	Best      int
	Items     []BibItem
	Missing   *Missing // nil: the bib has the looks it wants
	Panel     []string // evaluators of the tryout
	Recused   []string // evaluators who may not look
	Decisions []Decision
}

// A BibItem is an item with every grade that was given.
type BibItem struct {
	Title, Unit   string
	Adjusted, Raw string // as an average evaluator would grade, and the mean as given; "" when not known
	Looks         []Looked
}

// Looked is one grade.
type Looked struct {
	Evaluator string
	Look      int // from 1
	Grade     string
}

// Find takes where a bib stands from a board.
func (b *Bib) Find(board *Board) {
	for _, t := range board.Tiers {
		for _, p := range t.Parts {
			b.Of += len(p.Rows)
			if i := slices.IndexFunc(p.Rows, func(s Stood) bool { return s.Bib == b.Bib }); i >= 0 {
				b.Stood, b.Tier = &p.Rows[i], t.Number
			}
		}
	}
	for i, m := range board.Missing {
		if m.Bib == b.Bib {
			b.Missing = &board.Missing[i]
		}
	}
	for _, r := range board.Recusals {
		if r.Bib == b.Bib {
			b.Recused = append(b.Recused, r.Evaluator)
		}
	}
	for _, d := range board.Decisions {
		if d.Bib == b.Bib {
			b.Decisions = append(b.Decisions, d)
		}
	}
}

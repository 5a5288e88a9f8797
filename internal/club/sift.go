package club

import (
	"context"
	"errors"
	"slices"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json"

	"rootcue/engine/measure"
	"rootcue/engine/place"
	"rootcue/internal/store"
)

// sift takes the bad rows out of documents made of several rows of a table, so
// that a slip in one keeps the others. It runs before anything is looked up,
// since without the row the document is another.
func (c *Clubs) sift(ctx context.Context, tx store.Tx, parts []*part) error {
	for _, p := range parts {
		for p.Cell != nil && len(p.Lines) > 0 && len(p.Doc) > 0 {
			slips := p.Slips
			if p.doc != nil {
				v, err := c.inForce(ctx, tx, p.doc.Rubric)
				if errors.Is(err, store.ErrNotFound) {
					break // told for the whole document, later
				}
				if err != nil {
					return err
				}
				_, slips = measure.Read(v.Rubric, p.doc.Observation)
			}
			if len(slips) == 0 || !p.dropRows(slips) {
				break
			}
		}
	}
	return nil
}

// dropRows refuses the rows that slips point to and reads the rest; false when
// the slips are the whole document's.
func (p *part) dropRows(slips []place.Problem) bool {
	bad := map[int][]place.Problem{}
	for _, s := range slips {
		rep, ok := repOf(s.Pointer)
		if !ok || rep >= len(p.Lines) {
			return false
		}
		bad[rep] = append(bad[rep], p.Cell(rep, s))
	}
	var doc document
	if err := unmarshal(p.Doc, &doc); err != nil {
		return false
	}
	lines, reps := p.Lines, doc.Reps
	p.Lines, doc.Reps = nil, nil
	for i, line := range lines {
		if bad[i] != nil {
			p.Rows = append(p.Rows, Line{Line: line, Status: Refused, Slips: bad[i]})
			continue
		}
		p.Lines, doc.Reps = append(p.Lines, line), append(doc.Reps, reps[i])
	}
	cell, left := p.Cell, slices.DeleteFunc(slices.Collect(countTo(len(lines))), func(i int) bool { return bad[i] != nil })
	p.Cell = func(rep int, s place.Problem) place.Problem { return cell(left[rep], s) }
	return p.reread(&doc)
}

// reread reads what is left of a document; false when nothing is.
func (p *part) reread(doc *document) bool {
	p.doc, p.Slips = nil, nil
	if len(p.Lines) == 0 {
		return false
	}
	p.Doc, _ = json.Marshal(doc, json.Deterministic(true)) // it was unmarshalled from JSON
	p.doc, p.Slips = read(p.Doc)
	return true
}

func countTo(n int) func(func(int) bool) {
	return func(yield func(int) bool) {
		for i := range n {
			if !yield(i) {
				return
			}
		}
	}
}

// repOf is the index of the rep that a pointer leads into.
func repOf(pointer string) (int, bool) {
	rest, ok := strings.CutPrefix(pointer, "/reps/")
	if !ok {
		return 0, false
	}
	first, _, _ := strings.Cut(rest, "/")
	n, err := strconv.Atoi(first)
	return n, err == nil
}

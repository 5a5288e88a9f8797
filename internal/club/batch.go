package club

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"rootcue/engine/place"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// A part is one entry on its way through a batch.
type part struct {
	Entry
	doc *reading // as it came in; nil when it is refused for itself
	fate
	judgment // of what it says, made by what then was in force
}

// A fate is what becomes of a part as the database stands.
type fate struct {
	r          *reading // what is judged: the document, or the whole that it joins
	status     string
	id         string // of the observation it became
	assessed   string // id of its assessment
	same       *part  // the part of this batch it repeats
	supersedes *string
	version    *Version
	gate       *workload.Gate // what the arm's record says on the day
}

func (p *part) refuse(slips ...place.Problem) { p.status, p.Slips = Refused, slips }

// kept tells whether a part becomes an observation of its own.
func (p *part) kept() bool { return p.status == Stored || p.status == Corrected }

// submit stores a first part of a batch in one transaction and gives the rest
// back: a second document of one occasion waits for the first.
func (c *Clubs) submit(ctx context.Context, a Actor, parts []*part) (lines []Line, rest []*part, err error) {
	n := firstOccasions(parts)
	parts, rest = parts[:n], parts[n:]
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil {
			return err
		}
		if err := c.decide(ctx, tx, parts); err != nil {
			return err
		}
		judgeAll(parts)
		return c.save(ctx, tx, a, parts)
	})
	for _, p := range parts {
		lines = append(lines, p.lines()...)
	}
	return lines, rest, err
}

// prepare reads the documents, several at once, and sifts the rows of tables.
func (c *Clubs) prepare(ctx context.Context, a Actor, entries []Entry) ([]*part, error) {
	parts := make([]*part, len(entries))
	inParallel(len(entries), func(i int) {
		p := &part{Entry: entries[i]}
		parts[i] = p
		if len(p.Slips) > 0 || len(p.Lines) == 0 {
			return
		}
		if p.doc, p.Slips = read(p.Doc); p.doc != nil {
			if slip := unstorable(p.doc); slip != nil {
				p.doc, p.Slips = nil, []place.Problem{*slip}
			}
		}
	})
	if !slices.ContainsFunc(parts, func(p *part) bool { return p.Cell != nil }) {
		return parts, nil
	}
	return parts, c.view(ctx, a, func(tx store.Tx) error { return c.sift(ctx, tx, parts) })
}

// unstorable finds what no database keeps in a text.
func unstorable(r *reading) *place.Problem {
	for pointer, text := range map[string]string{"/player/ref": r.Player.Ref, "/session": r.Session, "/rater": r.Rater} {
		if strings.ContainsRune(text, 0) {
			return &place.Problem{Code: "bad-character", Pointer: pointer, Found: "the character U+0000", Wanted: "a text without it"}
		}
	}
	return nil
}

// firstOccasions counts the parts up to the second of one occasion.
func firstOccasions(parts []*part) int {
	seen := map[occasion]string{}
	for i, p := range parts {
		if p.doc == nil {
			continue
		}
		if hash, again := seen[p.doc.occasion()]; again && hash != p.doc.hash {
			return i
		}
		seen[p.doc.occasion()] = p.doc.hash
	}
	return len(parts)
}

// decide finds what becomes of each part as the database stands, and what it is
// judged by. It may be asked again.
func (c *Clubs) decide(ctx context.Context, tx store.Tx, parts []*part) error {
	for _, p := range parts {
		if p.fate = (fate{r: p.doc}); p.doc == nil {
			p.status = Refused
		} else {
			p.Slips = nil
		}
	}
	if err := c.place(ctx, tx, parts); err != nil {
		return err
	}
	return c.gateParts(ctx, tx, parts)
}

// place finds for each part the rubric that judges it and what is known of it.
func (c *Clubs) place(ctx context.Context, tx store.Tx, parts []*part) error {
	known, err := lookUp(ctx, tx, parts)
	if err != nil {
		return err
	}
	versions, byHash := map[string]*Version{}, map[string]*part{}
	for _, p := range parts {
		if p.r == nil {
			continue
		}
		if first := byHash[p.r.hash]; first != nil {
			p.status, p.same = Same, first
			continue
		}
		byHash[p.r.hash] = p
		if p.version = versions[p.r.Rubric]; p.version == nil {
			if p.version, err = c.inForce(ctx, tx, p.r.Rubric); errors.Is(err, store.ErrNotFound) {
				p.refuse(unknownRubric(ctx, tx, p.r.Rubric))
				continue
			} else if err != nil {
				return err
			}
			versions[p.r.Rubric] = p.version
		}
		if err := known.settle(ctx, tx, p); err != nil {
			return err
		}
	}
	return nil
}

// unknownRubric says which rubrics the club has.
func unknownRubric(ctx context.Context, tx store.Tx, name string) place.Problem {
	docs, _ := tx.ActiveDocuments(ctx, store.KindRubric) // without them the message is merely shorter
	names := make([]string, len(docs))
	for i := range docs {
		names[i] = docs[i].Name
	}
	if name == "" {
		return place.Problem{Code: "missing-key", Pointer: "", Found: `no "rubric"`, Wanted: "the rubric to judge by: " + place.List(names)}
	}
	slip := place.Problem{Code: "unknown-rubric", Pointer: "/rubric", Found: "the rubric " + strconv.Quote(name), Wanted: place.List(names)}
	if near := place.Nearest(name, names); near != "" {
		slip.Hint = fmt.Sprintf("did you mean %q?", near)
	}
	return slip
}

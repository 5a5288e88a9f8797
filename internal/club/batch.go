package club

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"

	"rootcue/engine"
	"rootcue/engine/place"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// A part is one entry on its way through a batch.
type part struct {
	Entry
	r      *reading
	id     string // of the observation it became
	status string
	same   *part // the part of this batch it repeats

	version    *Version
	gate       *workload.Gate // what the arm's record says on the day
	throws     int            // reps in which the ball was let go
	supersedes *string
	assessment store.Assessment
	verdicts   []store.Verdict
}

func (p *part) refuse(slips ...place.Problem) { p.status, p.Slips = Refused, slips }

// submit stores a first part of the entries in one transaction and gives the
// rest back: a second document of one occasion waits for the first.
func (c *Clubs) submit(ctx context.Context, a Actor, entries []Entry) (lines []Line, rest []Entry, err error) {
	parts, err := c.prepare(ctx, a, entries)
	if err != nil {
		return nil, nil, err
	}
	n := firstOccasions(parts)
	parts, rest = parts[:n], entries[n:]
	err = c.write(ctx, a, func(tx store.Tx) error { return c.storeParts(ctx, tx, a, parts) })
	if err != nil {
		return nil, nil, err
	}
	for _, p := range parts {
		lines = append(lines, p.lines()...)
	}
	return lines, rest, nil
}

// prepare reads the documents, several at once, and sifts the rows of tables.
func (c *Clubs) prepare(ctx context.Context, a Actor, entries []Entry) ([]*part, error) {
	parts := make([]*part, len(entries))
	inParallel(len(entries), func(i int) {
		p := &part{Entry: entries[i]}
		parts[i] = p
		if len(p.Slips) > 0 || len(p.Lines) == 0 {
			p.status = Refused
		} else if r, slips := read(p.Doc); r == nil {
			p.refuse(slips...)
		} else if slip := unstorable(r); slip != nil {
			p.refuse(*slip)
		} else {
			p.r = r
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
		if p.r == nil {
			continue
		}
		if hash, again := seen[p.r.occasion()]; again && hash != p.r.hash {
			return i
		}
		seen[p.r.occasion()] = p.r.hash
	}
	return len(parts)
}

// storeParts decides what becomes of each part, judges and saves them.
func (c *Clubs) storeParts(ctx context.Context, tx store.Tx, a Actor, parts []*part) error {
	if err := tx.TakeTurn(ctx); err != nil {
		return err
	}
	if err := c.place(ctx, tx, parts); err != nil {
		return err
	}
	if err := c.gateParts(ctx, tx, parts); err != nil {
		return err
	}
	inParallel(len(parts), func(i int) { parts[i].judge() })
	return c.save(ctx, tx, a, parts)
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

// judge assesses a part that is to be stored.
func (p *part) judge() {
	if p.r == nil || p.status == Refused || p.status == Same {
		return
	}
	p.id = store.NewID()
	a, verdicts, slips := p.version.judge(p.r, store.NewID(), p.gate)
	if len(slips) > 0 {
		p.refuse(slips...)
		return
	}
	p.assessment, p.verdicts, p.throws = a, verdicts, thrown(p.version.Rubric, p.r.Observation)
}

// judge assesses a document by this version of the rubric.
func (v *Version) judge(r *reading, id string, gate *workload.Gate) (store.Assessment, []store.Verdict, []place.Problem) {
	a, slips := engine.Assess(engine.Request{Rubric: v.Rubric, Version: v.Document.Version, Observation: r.Observation, Gate: gate, ID: id})
	if len(slips) > 0 {
		return store.Assessment{}, nil, slips
	}
	body, err := a.JSON()
	if err != nil {
		return store.Assessment{}, nil, []place.Problem{{Code: "no-answer", Found: "an answer that cannot be written: " + err.Error(), Wanted: "a number in reach"}}
	}
	row := store.Assessment{ID: id, RubricVersion: v.Document.Version, Measures: measuresOf(a), Body: body}
	return row, verdictsOf(a), nil
}

// inParallel runs fn for 0…n-1 on all processors.
func inParallel(n int, fn func(int)) {
	workers := min(n, runtime.GOMAXPROCS(0))
	if workers <= 1 {
		for i := range n {
			fn(i)
		}
		return
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				fn(i)
			}
		})
	}
	wg.Wait()
}

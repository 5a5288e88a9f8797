package club

import (
	"context"

	"rootcue/engine/place"
)

// The states of an answer to a line.
const (
	Stored    = "stored"    // new; also more reps of a session
	Same      = "same"      // known already, nothing changed
	Corrected = "corrected" // replaces what was stored, which is kept as history
	Refused   = "refused"   // not kept; see the problem
)

// A Source gives documents one after the other, io.EOF at the end.
type Source interface{ Next() (Entry, error) }

// An Entry is one document of an input.
type Entry struct {
	Lines []int           // the lines it came from: one, or in a table one for each rep
	Doc   []byte          // the observation document
	Slips []place.Problem // what is wrong with it already
	Rows  []Line          // rows of a table refused before they came into Doc
	// Cell gives a slip in a rep of Doc the coordinates of the table; nil else.
	Cell func(rep int, slip place.Problem) place.Problem
}

// A Line is the answer to one line of an input.
type Line struct {
	Line        int
	Status      string
	Observation string          // id, "" when refused
	Assessment  string          // id, "" when refused
	Slips       []place.Problem // why it was refused
}

// Done counts the answers.
type Done struct {
	Stored    int `json:"stored" doc:"New, or more reps of a session"`
	Same      int `json:"same" doc:"Known already"`
	Corrected int `json:"corrected" doc:"Replaced what was stored"`
	Refused   int `json:"refused" doc:"Not kept"`
}

// Count adds an answer.
func (d *Done) Count(status string) {
	switch status {
	case Stored:
		d.Stored++
	case Same:
		d.Same++
	case Corrected:
		d.Corrected++
	default:
		d.Refused++
	}
}

// Submit stores every good document of a source with its assessment, while it
// is read, and answers each line in order. A batch of lines is answered when it
// is safely stored. Bad documents keep nobody else's from being stored; an
// error ends the work, and what was answered until then stays.
//
// Documents of the same player, rubric, date, session and rater are of one
// occasion. Within a session new rep numbers join the observation and known
// ones are corrected; without a session a document with the same rep numbers
// corrects the stored one, and any other is an observation of its own. A
// document known to the byte, but for layout, changes nothing.
func (c *Clubs) Submit(ctx context.Context, a Actor, src Source, answer func([]Line) error) (done Done, err error) {
	ctx, cancel := context.WithCancel(ctx)
	q := newQueue()
	go q.fill(src)
	batches := c.ahead(ctx, a, q)
	defer func() {
		q.leave()
		cancel()
		for range batches { // until nothing is under way any more
		}
	}()
	for b := range batches {
		for rest := b.parts; len(rest) > 0 && b.err == nil; {
			var lines []Line
			if lines, rest, b.err = c.submit(ctx, a, rest); b.err != nil {
				break
			}
			for _, l := range lines {
				done.Count(l.Status)
			}
			b.err = answer(lines)
		}
		if b.err != nil {
			return done, b.err
		}
	}
	return done, ctx.Err()
}

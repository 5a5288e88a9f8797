package workload

import (
	"cmp"
	"fmt"
	"slices"

	"rootcue/engine/civil"
)

// GateInput is what an assessment knows of the arm: the player's age, the
// policies in force, and the ledger, nil where none was given.
type GateInput struct {
	On       civil.Date
	Player   Player
	Policies []*Policy
	Ledger   *Ledger
}

// A Gate is what the arm's record forbids an assessment to hand out.
type Gate struct {
	Cautions        []Caution   // by level: stop, limit, watch, note; never empty
	ThrowingStopped bool        // no cue or drill that throws
	EmptyAll        bool        // pain or a blow: nothing to work on at all
	ThrowsLeft      *int        // that day, limits that only advise among them; nil where no rule says
	RecordedTo      *civil.Date // the latest entry; nil without one
}

// NewGate reads the arm's record as of the day of an assessment.
func NewGate(in GateInput) Gate {
	if in.Ledger == nil {
		return Gate{Cautions: []Caution{Standing,
			{"workload-unknown", Note, []Activity{}, "The arm's workload is not known: no ledger was given. Ask how much was thrown before any throwing.", tradeSource},
			otherTeams, noCatcherLimit}}
	}
	b := &bench{in.Player, in.Policies, newBook(*in.Ledger, in.On)}
	r := b.read(Throwing, b.book.on)
	return Gate{b.cautions(), slices.Contains([]string{No, Unknown}, r.answer), b.book.pain != nil || b.book.blow != nil, r.leftOver(), b.book.recordedTo()}
}

// cautions is all that the record gives reason to say, hardest first.
func (b *bench) cautions() []Caution {
	at := b.book.on
	found := b.stopCautions(at)
	rest := false
	for _, a := range Activities {
		r := b.read(a, at)
		for _, f := range r.all {
			if f.policy != nil {
				found = append(found, f.caution(at))
				rest = rest || f.rule == ruleRest && f.level.binds()
			}
		}
	}
	if rest {
		found = append(found, Caution{"rest-day-throwing", Watch, []Activity{}, "A day of rest from pitching: keep throwing light, whatever the drill.", tradeSource})
	}
	found = append(found, b.recordCautions()...)
	slices.SortStableFunc(found, func(x, y Caution) int {
		return cmp.Compare(slices.Index(Levels, string(x.Level)), slices.Index(Levels, string(y.Level)))
	})
	return found
}

// stopCautions is what pain, a blow and tiredness stop, one caution each.
func (b *bench) stopCautions(at int) (found []Caution) {
	codes := map[string]string{rulePain: "pain-reported", ruleBlow: "blow-reported", ruleTired: "tired"}
	for _, f := range b.stops(Throwing, at) {
		says := f.because(at)
		if f.rule != ruleTired {
			says += " No corrections: tell the parent or guardian today, and see a licensed clinician."
		}
		found = append(found, Caution{codes[f.rule], Stop, all, says, tradeSource})
	}
	return found
}

// caution is a policy's rule as a caution. A rule that holds only if a missing
// count is high is a limit: the activity is treated as at the limit.
func (f finding) caution(at int) Caution {
	c := Caution{Code: "workload-" + dashed(f.rule), Level: f.level, Stops: []Activity{}, Says: f.says(at, nil), Source: f.policy.Source.String()}
	if f.level.binds() {
		c.Stops = []Activity{f.activity}
	}
	if !f.sure && f.level == Stop {
		c.Level = Limit
	}
	if !f.sure {
		c.Code = "workload-count-missing"
	}
	return c
}

func dashed(rule string) string {
	out := []byte(rule)
	for i, c := range out {
		if c == '_' {
			out[i] = '-'
		}
	}
	return string(out)
}

// recordCautions is what to know about the record itself.
func (b *bench) recordCautions() []Caution {
	found := []Caution{}
	if n := len(b.book.unread); n > 0 {
		found = append(found, Caution{"ledger-incomplete", Watch, []Activity{}, plural(n, "line") + " of the ledger could not be read: what was recorded there is not counted.", "the ledger"})
	}
	if d := b.uncounted(); d != nil {
		found = append(found, Caution{"pitches-not-recorded", Watch, []Activity{},
			fmt.Sprintf("Innings pitched are recorded on %v without a count of pitches: the rest they ask for cannot be told.", civil.FromNumber(d.number)), "the ledger"})
	}
	found = append(found, Standing)
	if to := b.book.recordedTo(); to != nil {
		found = append(found, Caution{"recorded-to", Note, []Activity{}, fmt.Sprintf("The workload is as recorded up to %v; what was thrown since is not known.", *to), "the ledger"})
	} else {
		found = append(found, Caution{"workload-unknown", Note, []Activity{}, "The arm's workload is not known: nothing is recorded.", "the ledger"})
	}
	return append(found, otherTeams, noCatcherLimit)
}

// uncounted is a late day with innings pitched but no pitches.
func (b *bench) uncounted() (found *day) {
	b.book.since(b.book.on-6, func(d *day) {
		if d.pitched.hi > 0 && d.pitches.hi == 0 {
			found = d
		}
	})
	return found
}

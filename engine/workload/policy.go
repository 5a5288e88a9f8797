package workload

import (
	"strings"

	"rootcue/engine/civil"
)

// A Policy is what a league or a body publishes on the arm, compiled from its
// file. It is not changed after Parse.
type Policy struct {
	Name, Title string
	Source      Source
	AgeOn       civil.MonthDay // the cut-off for ages; zero when the policy names none
	Pitching    []PitchingRow
	Catching    []CatchingRow
	Throwing    []ThrowingRow
	Examples    []Example
}

// Source says where a policy's numbers come from.
type Source struct {
	By, Edition, Note string
	Read              civil.Date // when it was read
}

// String is the source in one line.
func (s Source) String() string {
	text := s.By + ", " + s.Edition
	if !s.Read.IsZero() {
		text += " (read " + s.Read.String() + ")"
	}
	return text
}

// A Level says how hard a rule is.
type Level string

// The levels, hardest first. Stop and Limit make an answer no; Watch and Note
// are only said.
const (
	Stop  Level = "stop"
	Limit Level = "limit"
	Watch Level = "watch"
	Note  Level = "note"
)

// Levels lists the levels in the order in which cautions stand.
var Levels = []string{string(Stop), string(Limit), string(Watch), string(Note)}

func (l Level) binds() bool { return l == Stop || l == Limit }

// Ages are playing ages in years, both ends included.
type Ages struct{ From, To int }

func (a Ages) hold(age int) bool { return age >= a.From && age <= a.To }

// A PitchingRow holds the pitching rules of some ages. A rule that is nil or
// empty is not in the policy.
type PitchingRow struct {
	Ages      Ages
	Level     Level
	MostADay  *int   // pitches
	Rest      []Tier // by rising To
	Innings   *Count // in 12 months
	Running   *int   // days running on which a player may pitch
	MonthsOff *MonthsOff
	// LastBatter: only pitches up to the first one to the last batter count,
	// except for the daily limit.
	LastBatter bool
}

// A Tier asks for days off after a day with up to To pitches.
type Tier struct{ To, Days int }

// MonthsOff asks for months without throwing in each 12, some of them running.
type MonthsOff struct {
	In12, Running float64
	Level         Level
}

// A CatchingRow holds the rules of some ages on catching and pitching the same
// day.
type CatchingRow struct {
	Ages             Ages
	Level            Level
	NoneAfterPitches *int // pitched so many: no catching that day
	NoPitchingAfter  *int // caught in so many innings: no pitching that day
	NoReturn         *NoReturn
	LastBatter       bool // as in PitchingRow
}

// NoReturn: caught in so many innings and pitched so many: no more catching
// that day.
type NoReturn struct{ Innings, Pitches int }

// A ThrowingRow holds the rules of some ages on throws of every kind.
type ThrowingRow struct {
	Ages     Ages
	Level    Level
	MostADay *int // throws
}

// rest is the days off after a day of so many pitches (in parts). A count
// above the last tier takes the last tier's days.
func (r *PitchingRow) rest(parts int) int {
	if parts <= 0 || len(r.Rest) == 0 {
		return 0
	}
	for _, t := range r.Rest {
		if parts <= t.To*part {
			return t.Days
		}
	}
	return r.Rest[len(r.Rest)-1].Days
}

// age is the player's age under the policy on that day. A policy without a
// cut-off takes the age as it is known otherwise, or the age that day.
func (p *Policy) age(q Player, on civil.Date) int {
	switch cutoff := p.AgeOn != (civil.MonthDay{}); {
	case q.Born.IsZero() || !cutoff && q.Age > 0:
		return q.Age
	case cutoff:
		return q.Born.Age(on, p.AgeOn)
	}
	return q.Born.Years(on)
}

// name is the policy with its title.
func (p *Policy) name() string {
	return strings.TrimSpace(p.Title + " (" + p.Source.Edition + ")")
}

package workload

// A Kind says what an entry of the ledger records.
type Kind string

// The kinds of entry.
const (
	Pitches        Kind = "pitches" // thrown in a game
	InningsPitched Kind = "innings-pitched"
	InningsCaught  Kind = "innings-caught"
	Bullpen        Kind = "bullpen" // pitches outside games
	PracticeThrows Kind = "practice-throws"
	BaseThrows     Kind = "base-throws" // a catcher's throws to bases
	LongToss       Kind = "long-toss"
	TimeOff        Kind = "time-off" // count = days without throwing, from the date on; one when empty
	Pain           Kind = "pain"
	Tired          Kind = "tired"
	Blow           Kind = "head-or-chest-blow"
	Cleared        Kind = "cleared" // the note says in which role
)

// Kinds lists every kind of entry.
var Kinds = []string{
	string(Pitches), string(InningsPitched), string(InningsCaught), string(Bullpen), string(PracticeThrows),
	string(BaseThrows), string(LongToss), string(TimeOff), string(Pain), string(Tired), string(Blow), string(Cleared),
}

// innings reports whether the count is of innings, which have thirds.
func (k Kind) innings() bool { return k == InningsPitched || k == InningsCaught }

// throws reports whether the count is of throws; pitches are throws too.
func (k Kind) throws() bool {
	switch k {
	case Pitches, Bullpen, PracticeThrows, BaseThrows, LongToss:
		return true
	}
	return false
}

// counted reports whether the entry must have a count: without one it is
// unknown.
func (k Kind) counted() bool { return k.throws() || k.innings() }

// most is the largest count one entry may hold; more is a slip of the pen.
func (k Kind) most() float64 {
	switch {
	case k.innings():
		return 99
	case k == TimeOff:
		return 366
	}
	return 999
}

// unit names what is counted, for messages.
func (k Kind) unit() string {
	switch {
	case k == Pitches || k == Bullpen:
		return "pitches"
	case k.innings():
		return "innings"
	case k == TimeOff:
		return "days"
	}
	return "throws"
}

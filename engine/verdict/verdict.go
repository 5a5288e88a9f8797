package verdict

// A Verdict is what is said of one fault.
type Verdict string

// The verdicts.
const (
	Fault         Verdict = "fault"
	Close         Verdict = "close"
	Sound         Verdict = "sound"
	NotSeen       Verdict = "not-seen"
	NotApplicable Verdict = "not-applicable"
)

// Of is the verdict on a chance, given the chances from which a fault counts
// and below which it does not.
func Of(chance, faultAt, soundAt float64) Verdict {
	switch {
	case chance >= faultAt:
		return Fault
	case chance <= soundAt:
		return Sound
	}
	return Close
}

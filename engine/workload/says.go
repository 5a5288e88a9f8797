package workload

import (
	"fmt"
	"strings"

	"rootcue/engine/civil"
)

// says tells in plain sentences why a rule stands against an activity.
func (f finding) says(at int, next *civil.Date) string {
	text := f.because(at)
	if f.policy != nil && !f.sure {
		text += " A count is missing, so this cannot be told; treat it as at the limit."
	}
	switch {
	case next != nil && f.rule != rulePain && f.rule != ruleBlow:
		text += fmt.Sprintf(" First day for %s by what was recorded here: %s %v.", f.activity, next.Weekday(), *next)
	case f.until == never && f.rule == ruleMonths:
		text += " The rule is met again only by time off."
	}
	return text
}

func (f finding) because(at int) string {
	day := civil.FromNumber(at)
	switch f.rule {
	case rulePain:
		return fmt.Sprintf("Pain was reported on %v: no throwing, catching or pitching until a licensed clinician clears the player.", f.entry.Date)
	case ruleBlow:
		return fmt.Sprintf("A blow to the head or chest was recorded on %v: no throwing, catching or pitching until the player is cleared as local law and the league require.", f.entry.Date)
	case ruleTired:
		return fmt.Sprintf("The player was tired on %v: no more throwing, catching or pitching that day.", day)
	case ruleMost:
		return fmt.Sprintf("%s on %v; %s %s %d a day.", f.counted(), day, f.policy.name(), f.verb(), f.limit)
	case ruleRest:
		return fmt.Sprintf("%s on %v; %s asks for %s off after that.", f.counted(), f.entry.Date, f.policy.name(), plural(f.limit, "full day"))
	case ruleRunning:
		return fmt.Sprintf("Pitched on each of the %s before %v; %s allows no more than that running.", plural(f.limit, "day"), day, f.policy.name())
	case ruleInnings:
		return fmt.Sprintf("%s in the 12 months up to %v; %s sets %s.", f.counted(), day, f.policy.name(), text(f.limit))
	case ruleMonths:
		return fmt.Sprintf("%s off recorded in the 12 months up to %v, %d of them running; %s asks for %d, %d of them running.", plural(f.have.lo, "day"), day, f.have.hi, f.policy.name(), f.limit, f.more)
	case ruleNone:
		return fmt.Sprintf("%s on %v; %s no catching on a day with %d or more.", f.counted(), day, f.forbids(), f.limit)
	case ruleNoPitch:
		return fmt.Sprintf("%s caught on %v; %s no pitching on a day with catching in %d or more.", f.counted(), day, f.forbids(), f.limit)
	}
	return fmt.Sprintf("Caught and pitched (%s) on %v; %s no more catching on a day with catching in %s or more and %d or more pitches.", f.counted(), day, f.forbids(), plural(f.more, "inning"), f.limit)
}

// forbids opens what a policy forbids, or advises against.
func (f finding) forbids() string {
	if f.level.binds() {
		return f.policy.name() + " allows"
	}
	return f.policy.name() + " advises"
}

// verb is what a policy does with a number: allow it, or advise it.
func (f finding) verb() string {
	if f.level.binds() {
		return "allows"
	}
	return "advises at most"
}

// counted is what was recorded, with its unit.
func (f finding) counted() string {
	unit := "pitches"
	switch {
	case f.activity == Throwing:
		unit = "throws"
	case f.rule == ruleInnings:
		unit = "innings pitched"
	case f.rule == ruleNoPitch:
		unit = "innings"
	}
	switch {
	case f.have.hi < open:
		return text(f.have.lo) + " " + unit
	case f.have.lo <= part:
		return capital("an unknown number of ") + unit
	}
	return text(f.have.lo/part*part) + " or more " + unit
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

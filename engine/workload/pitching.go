package workload

import "rootcue/engine/civil"

// pitching applies the rules on pitching, and on pitching after catching.
func (l *look) pitching() {
	for i := range l.policy.Pitching {
		if row := &l.policy.Pitching[i]; row.Ages.hold(l.age) {
			l.pitchingRow(row)
		}
	}
	d := l.book.find(l.at)
	for _, row := range l.policy.Catching {
		if n := row.NoPitchingAfter; n != nil && row.Ages.hold(l.age) {
			l.spoken = true
			surely, possibly := d.caught.ceil().least(*n)
			l.against(finding{rule: ruleNoPitch, level: row.Level, until: l.at + 1, entry: d.cEntry, limit: *n, have: d.caught}, surely, possibly)
		}
	}
}

func (l *look) pitchingRow(row *PitchingRow) {
	if row.MostADay != nil {
		d := l.book.find(l.at)
		l.most(row.Level, *row.MostADay, d.pitches, d.pitchEntry)
	}
	if row.Rest != nil {
		l.rest(row)
	}
	if row.Running != nil {
		l.running(row)
	}
	if row.Innings != nil {
		l.innings(row)
	}
	if row.MonthsOff != nil {
		l.monthsOff(row)
	}
}

// rest: after a day of so many pitches, so many full calendar days off.
func (l *look) rest(row *PitchingRow) {
	l.spoken = true
	l.book.since(l.at-longestRest, func(d *day) {
		if d.number >= l.at || d.pitches.hi == 0 {
			return
		}
		have := d.counted(row.LastBatter)
		surely, possibly := row.rest(have.lo), row.rest(have.hi)
		l.against(finding{rule: ruleRest, level: row.Level, until: d.number + possibly + 1, entry: d.pitchEntry, limit: possibly, have: have},
			l.at <= d.number+surely, l.at <= d.number+possibly)
	})
}

// running: no pitching after so many days running on which the player pitched.
func (l *look) running(row *PitchingRow) {
	l.spoken = true
	var last *Entry
	for k := 1; k <= *row.Running; k++ {
		d := l.book.find(l.at - k)
		if !d.worked() {
			return
		}
		if last == nil {
			last = d.pitchEntry
		}
	}
	l.against(finding{rule: ruleRunning, level: row.Level, until: l.at + 1, entry: last, limit: *row.Running}, true, true)
}

// innings: so many innings pitched in any 12 months. Not judged where none
// were recorded.
func (l *look) innings(row *PitchingRow) {
	sum, last := l.book.inningsIn(l.at)
	l.spoken = true
	if last == nil {
		return
	}
	surely, possibly := sum.least(row.Innings.parts)
	if !possibly {
		return
	}
	l.against(finding{rule: ruleInnings, level: row.Level, until: l.inningsLeave(row, sum), entry: last, limit: row.Innings.parts, have: sum}, surely, true)
}

// inningsLeave is the day on which enough known innings are older than 12
// months: a day leaves on its own date a year later.
func (l *look) inningsLeave(row *PitchingRow, sum span) int {
	from := yearBefore(l.at) + 1
	for i := range l.book.days {
		d := &l.book.days[i]
		if d.number < from || d.pitched.hi == 0 {
			continue
		}
		if sum.lo -= d.pitched.lo; sum.lo < row.Innings.parts {
			return max(l.at+1, civil.FromNumber(d.number).AddYears(1).Number())
		}
	}
	return never // a limit of no innings at all
}

// monthsOff: so many months off in 12, so many of them together. Not judged
// where no time off, or less than a year, was recorded.
func (l *look) monthsOff(row *PitchingRow) {
	l.spoken = true
	if l.book.monthsUnknown(l.at) {
		return
	}
	m := row.MonthsOff
	all, running := l.book.daysOff(l.at)
	short := float64(all) < m.In12*monthDays || float64(running) < m.Running*monthDays
	l.against(finding{rule: ruleMonths, level: m.Level, until: never, limit: int(m.In12 * monthDays), more: int(m.Running * monthDays),
		have: span{all, running}}, short, short)
}

// monthsUnknown reports whether the record does not show the year's time off.
func (b *book) monthsUnknown(at int) bool {
	return len(b.off) == 0 || b.days[0].number > yearBefore(at)
}

package progress

import (
	"cmp"
	"slices"
)

// A Series is the sessions of one kind, by date: from each to the next, from
// the first to the last, and the trend from the fourth session on.
type Series struct {
	Kind     string
	Sessions []Session
	Within   float64 // scatter of reps within a day; NaN when not known
	Steps    []Change
	Overall  *Change // nil with one session
	Trend    *Trend  // nil below trendSessions
}

// trendSessions is the fewest sessions a trend is read from.
const trendSessions = 4

// Track splits sessions by kind and follows each series. Sessions without a rep
// were not seen and are left out. Kinds come in order of their names.
func Track(sessions []Session, side Side) []Series {
	byKind := map[string][]Session{}
	for _, s := range sessions {
		if len(s.Reps) > 0 {
			byKind[s.Kind] = append(byKind[s.Kind], s)
		}
	}
	var out []Series
	for kind, list := range byKind {
		slices.SortStableFunc(list, func(a, b Session) int { return cmp.Compare(a.On, b.On) })
		out = append(out, follow(kind, list, side))
	}
	slices.SortFunc(out, func(a, b Series) int { return cmp.Compare(a.Kind, b.Kind) })
	return out
}

func follow(kind string, list []Session, side Side) Series {
	s := Series{Kind: kind, Sessions: list, Within: Within(list)}
	means := make([]float64, len(list))
	for i, session := range list {
		means[i] = mean(session.Reps)
		if i > 0 {
			s.Steps = append(s.Steps, Changes(list[i-1], session, s.Within, side))
		}
	}
	if len(list) > 1 {
		overall := Changes(list[0], list[len(list)-1], s.Within, side)
		s.Overall = &overall
	}
	if len(list) >= trendSessions {
		trend := TrendOf(means)
		s.Trend = &trend
	}
	return s
}

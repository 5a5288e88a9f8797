package pages

import (
	"fmt"

	"rootcue/engine/practice"
)

// Group is what the page of a group shows: its next practice, planned.
type Group struct {
	Name, Day string
	Form      PracticeForm
	Problem   string // why there is no plan; "" where there is one
	Planned   bool
	End       string // of the last turn
	Over      int    // minutes that make no turn
	Turns     []GroupTurn
	Stations  []GroupStation
	Titles    []Titled // of drills besides
	Players   []GroupPlayer
	Shared    []SharedRoot
	LeftOver  []LeftOver
	Gain      string           // of the whole group, s
	Bound     string           // no plan gains more, s; "" where this plan is proven best
	Cautions  []MemberCautions // of every member who has any
	Everybody []Caution        // for all
	Advice    []string         // for everybody too
}

// PracticeForm is what the plan is asked for.
type PracticeForm struct {
	On                     string // the day
	Start                  string // HH:MM
	Minutes, Turn, Helpers int
	Stations               []StationChoice
}

// A StationChoice is a drill that a station can be set up for.
type StationChoice struct {
	Drill, Title   string
	Chosen         bool
	Places, Throws int
	Helper         bool
}

// A GroupTurn is who is where from when to when.
type GroupTurn struct {
	Number   int
	From, To string // HH:MM
	At       []GroupAt
	Free     []string // players without a station in this turn
}

// GroupAt are the players at a station.
type GroupAt struct {
	Title   string
	Players []string
}

// A GroupStation is a station to set up; Open: the plan uses it.
type GroupStation struct {
	StationChoice
	How, Dose string
	Kit       []string
	Open      bool
}

// A GroupPlayer is one player's way through the practice.
type GroupPlayer struct {
	Member
	Way    []Step
	Gain   string // s
	Throws int
	Why    string
}

// A Member is what a player's part rests on.
type Member struct {
	Ref   string
	Left  string // throws left that day; "" when no rule says
	Seen  []Assessment
	Notes []string
}

// Assessment names an assessment and leads to its report.
type Assessment struct{ ID, Title, On string }

// SharedRoot is what several are to work on.
type SharedRoot struct {
	Title           string
	Drills, Players []string
}

// A Step is a station for as many turns as follow one another there.
type Step struct{ From, To, Title string }

// LeftOver is what the plan does without, and why.
type LeftOver struct{ Ref, Title, Gain, Says string }

// MemberCautions are the cautions of one member.
type MemberCautions struct {
	Ref      string
	Cautions []Caution // the hardest first
}

// Hard reports cautions that are more than notes.
func (m MemberCautions) Hard() bool { return m.Cautions[0].Level != "note" }

// Show puts a plan on the page. The form gives its clock, the stations the
// titles of drills: both must be there already.
func (g *Group) Show(plan practice.Plan) {
	clock := newClock(g.Form.Start, g.Form.Turn)
	ways, open := map[string][]Step{}, map[string]bool{}
	for i, t := range plan.Turns {
		turn := GroupTurn{Number: t.Turn, From: clock.at(i), To: clock.at(i + 1)}
		for _, a := range t.Stations {
			title := g.title(a.Drill)
			turn.At, open[a.Drill] = append(turn.At, GroupAt{title, a.Players}), true
			for _, ref := range a.Players {
				ways[ref] = onward(ways[ref], Step{turn.From, turn.To, title})
			}
		}
		for _, who := range plan.Players {
			if n := len(ways[who.Ref]); n == 0 || ways[who.Ref][n-1].To != turn.To {
				turn.Free = append(turn.Free, who.Ref)
			}
		}
		g.Turns = append(g.Turns, turn)
	}
	for i := range g.Stations {
		g.Stations[i].Open = open[g.Stations[i].Drill]
	}
	for _, who := range plan.Players {
		g.Players = append(g.Players, GroupPlayer{Member: Member{Ref: who.Ref}, Way: ways[who.Ref], Gain: thousandths(who.GainS), Throws: who.Throws, Why: who.Why})
	}
	for _, l := range plan.LeftOver {
		out := LeftOver{Ref: l.Ref, Title: g.title(l.Drill), Says: l.Says}
		if l.GainS > 0 {
			out.Gain = thousandths(l.GainS)
		}
		g.LeftOver = append(g.LeftOver, out)
	}
	g.Planned, g.Gain, g.End, g.Over = true, thousandths(plan.GainS), clock.at(len(plan.Turns)), g.Form.Minutes-len(plan.Turns)*g.Form.Turn
	if plan.BoundS > plan.GainS {
		g.Bound = thousandths(plan.BoundS)
	}
}

// onward adds a step to a way; one that goes on where the last one ended makes
// that longer.
func onward(way []Step, s Step) []Step {
	if n := len(way); n > 0 && way[n-1].To == s.From && way[n-1].Title == s.Title {
		way[n-1].To = s.To
		return way
	}
	return append(way, s)
}

// title is a drill's name for people, else its name.
func (g *Group) title(drill string) string {
	for i := range g.Stations {
		if s := &g.Stations[i]; s.Drill == drill && s.Title != "" {
			return s.Title
		}
	}
	for _, t := range g.Titles {
		if t.Name == drill {
			return t.Title
		}
	}
	return drill
}

// Named are the titles of drills.
func (g *Group) Named(drills []string) (titles []string) {
	for _, d := range drills {
		titles = append(titles, g.title(d))
	}
	return titles
}

// Rests adds what a player's part rests on; the plan must be there already.
func (g *Group) Rests(m Member) {
	for i := range g.Players {
		if g.Players[i].Ref == m.Ref {
			g.Players[i].Member = m
		}
	}
}

// thousandths writes seconds as the plan reckons with them, so that a reader
// can add them up.
func thousandths(s float64) string { return fmt.Sprintf("%.3f", s) }

// A clock gives the time at which each turn begins.
type clock struct{ start, turn int } // minutes

// newClock starts at HH:MM.
func newClock(start string, turn int) clock {
	var h, m int
	_, _ = fmt.Sscanf(start, "%d:%d", &h, &m) // what is no time was refused with the form
	return clock{60*h + m, turn}
}

func (c clock) at(turn int) string {
	t := (c.start + turn*c.turn) % (24 * 60)
	return fmt.Sprintf("%02d:%02d", t/60, t%60)
}

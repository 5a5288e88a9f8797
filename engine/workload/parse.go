package workload

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"rootcue/engine/civil"
	"rootcue/engine/place"
	"rootcue/engine/shape"
)

// Parse reads a policy file and reports every slip with its place, then runs
// the file's examples. The policy is nil when there is a problem that is no
// warning.
func Parse(file string, data []byte) (*Policy, []place.Problem) {
	root, problems := shape.Read(file, data)
	if root == nil {
		return nil, problems
	}
	problems = append(problems, form.Check(root)...)
	p := &parser{problems: problems}
	policy := p.policy(root)
	if !failed(p.problems) {
		for _, e := range policy.Examples {
			p.problems = append(p.problems, e.run(policy)...)
		}
	}
	slices.SortStableFunc(p.problems, func(a, b place.Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	if failed(p.problems) {
		return nil, p.problems
	}
	return policy, p.problems
}

func failed(problems []place.Problem) bool {
	return slices.ContainsFunc(problems, func(p place.Problem) bool { return !p.Warning })
}

// A parser turns the checked nodes of a policy into the policy.
type parser struct{ problems []place.Problem }

func (p *parser) slip(n *shape.Node, code, found, wanted, hint string) {
	p.problems = append(p.problems, n.Problem(code, found, wanted, hint))
}

func (p *parser) policy(n *shape.Node) *Policy {
	s := n.Get("source")
	policy := &Policy{Name: n.Get("policy").String(), Title: n.Get("title").String(),
		Source: Source{By: s.Get("by").String(), Edition: s.Get("edition").String(), Note: s.Get("note").String(), Read: p.date(s.Get("read"))}}
	if c := n.Get("age_on"); c.OK() {
		day, err := civil.ParseMonthDay(c.String())
		if err != nil {
			p.slip(c, "bad-date", c.Describe(), "a day of the year written MM-DD", "")
		}
		policy.AgeOn = day
	}
	for _, row := range n.Get("pitching").Items() {
		policy.Pitching = append(policy.Pitching, p.pitching(row))
	}
	for _, row := range n.Get("catching").Items() {
		policy.Catching = append(policy.Catching, p.catching(row))
	}
	for _, row := range n.Get("throwing").Items() {
		policy.Throwing = append(policy.Throwing, ThrowingRow{p.ages(row), level(row, Stop), whole(row.Get("most_a_day"))})
	}
	for _, e := range n.Get("examples").Items() {
		policy.Examples = append(policy.Examples, p.example(e))
	}
	p.warnings(n)
	return policy
}

func (p *parser) warnings(n *shape.Node) {
	if len(n.Get("examples").Items()) == 0 {
		p.problems = append(p.problems, n.Warning("no-examples", "no examples", "at least one example, so that a slip in a number shows", ""))
	}
	for _, group := range []string{"pitching", "catching", "throwing"} {
		for _, row := range n.Get(group).Items() {
			if !slices.ContainsFunc(row.Fields(), func(f shape.Field) bool {
				return !slices.Contains([]string{"ages", "level", "last_batter"}, f.Key.Text)
			}) {
				p.problems = append(p.problems, row.Warning("empty-row", "a row of "+group+" without a rule", "at least one rule", "take the row out, or add the rule"))
			}
		}
	}
}

func (p *parser) pitching(n *shape.Node) PitchingRow {
	row := PitchingRow{Ages: p.ages(n), Level: level(n, Stop), MostADay: whole(n.Get("most_a_day")), Rest: p.rest(n.Get("rest")),
		Running: whole(n.Get("days_running")), LastBatter: n.Get("last_batter").True()}
	if i := n.Get("innings_in_12_months"); i.OK() {
		c := Of(i.Float(0))
		row.Innings = &c
	}
	if m := n.Get("months_off"); m.OK() {
		row.MonthsOff = &MonthsOff{m.Get("in_12").Float(0), m.Get("running").Float(0), level(m, row.Level)}
		if row.MonthsOff.Running > row.MonthsOff.In12 {
			p.slip(m.Get("running"), "out-of-range", m.Get("running").Describe()+" for running", "at most in_12, "+m.Get("in_12").String(), "")
		}
	}
	return row
}

// rest reads the tiers. Counts rise, and more pitches never ask for less rest.
func (p *parser) rest(n *shape.Node) (tiers []Tier) {
	for _, item := range n.Items() {
		t := Tier{item.Get("to").Int(0), item.Get("days").Int(0)}
		if k := len(tiers); k > 0 && item.Get("to").OK() && item.Get("days").OK() {
			last := tiers[k-1]
			if t.To <= last.To {
				p.slip(item.Get("to"), "order", fmt.Sprintf("to: %d after to: %d", t.To, last.To), "tiers in rising order of to", "")
			}
			if t.Days < last.Days {
				p.slip(item.Get("days"), "order", fmt.Sprintf("%d days after %d days for fewer pitches", t.Days, last.Days), "at least as many days as the tier before", "")
			}
		}
		tiers = append(tiers, t)
	}
	return tiers
}

func (p *parser) catching(n *shape.Node) CatchingRow {
	row := CatchingRow{Ages: p.ages(n), Level: level(n, Stop), NoneAfterPitches: whole(n.Get("none_that_day_after_pitches")),
		NoPitchingAfter: whole(n.Get("no_pitching_that_day_after_innings")), LastBatter: n.Get("last_batter").True()}
	if r := n.Get("no_return_after"); r.OK() {
		row.NoReturn = &NoReturn{r.Get("innings_caught").Int(0), r.Get("pitches").Int(0)}
	}
	return row
}

func (p *parser) ages(n *shape.Node) Ages {
	items := n.Get("ages").Items()
	if len(items) != 2 {
		return Ages{1, 0} // reported by the form check; holds no age
	}
	a := Ages{items[0].Int(0), items[1].Int(0)}
	if a.From > a.To {
		p.slip(items[0], "order", fmt.Sprintf("ages from %d to %d", a.From, a.To), "the younger age first", fmt.Sprintf("write [%d, %d]", a.To, a.From))
	}
	return a
}

func (p *parser) date(n *shape.Node) civil.Date {
	if !n.OK() {
		return civil.Date{}
	}
	d, err := civil.Parse(n.String())
	if err != nil {
		p.slip(n, "bad-date", strconv.Quote(n.String()), "a day of the calendar, YYYY-MM-DD", "")
	}
	return d
}

func level(n *shape.Node, otherwise Level) Level {
	if l := n.Get("level"); l.OK() {
		return Level(l.String())
	}
	return otherwise
}

func whole(n *shape.Node) *int {
	if !n.OK() {
		return nil
	}
	v := n.Int(0)
	return &v
}

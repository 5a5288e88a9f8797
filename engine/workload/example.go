package workload

import (
	"fmt"
	"strconv"

	"rootcue/engine/civil"
	"rootcue/engine/place"
	"rootcue/engine/shape"
)

// An Example is a policy's own test: a ledger, a day, and what must come out.
type Example struct {
	Name    string
	at      *shape.Node
	request Request
	expect  map[Activity]*shape.Node
}

func (p *parser) example(n *shape.Node) Example {
	e := Example{Name: n.Get("name").String(), at: n, expect: map[Activity]*shape.Node{}}
	e.request = Request{Age: n.Get("age").Int(-1), On: p.date(n.Get("on"))}
	if b := n.Get("born"); b.OK() {
		born, err := civil.ParseBirth(b.String())
		if err != nil {
			p.slip(b, "wrong-form", b.Describe(), "a month of birth written YYYY-MM", "")
		}
		e.request.Born = born
	}
	rows := &rowReader{on: e.request.On, games: map[game]int{}}
	for i, item := range n.Get("ledger").Items() {
		sound := item.Get("date").OK() && item.Get("kind").OK() // else told by the form check
		if w := exampleRow(item, i+1); sound && !e.request.On.IsZero() {
			rows.read(w)
		}
	}
	p.problems = append(p.problems, rows.problems...)
	e.request.Ledger = rows.ledger
	for _, a := range Activities {
		if want := n.Get("expect").Get(string(a)); want.OK() {
			e.expect[a] = want
		}
	}
	return e
}

// exampleRow is a line of an example's ledger.
func exampleRow(item *shape.Node, line int) row {
	w := row{line: line, at: func(c int) place.Problem {
		if cell := item.Get(Columns[c]); cell.OK() {
			return cell.Problem("", "", "", "")
		}
		return item.Problem("", "", "", "")
	}}
	for c, name := range Columns {
		w.cells[c] = cellOf(item.Get(name))
	}
	return w
}

func cellOf(n *shape.Node) string {
	switch {
	case n == nil:
		return ""
	case n.Kind == shape.Bool && !n.Bool:
		return "no"
	}
	return n.String()
}

// run holds the policy against the example; each difference is a problem at the
// value that was expected.
func (e Example) run(policy *Policy) (found []place.Problem) {
	policies := []*Policy{policy}
	if problems := e.request.Problems(policies); len(problems) > 0 {
		return []place.Problem{e.at.Problem(problems[0].Code, "the example "+strconv.Quote(e.Name)+" with "+problems[0].Found, problems[0].Wanted, problems[0].Hint)}
	}
	b := newBench(e.request, policies)
	for _, a := range Activities {
		want := e.expect[a]
		v := b.verdict(a, e.request.On.Number())
		got := map[string]string{"answer": v.Answer, "rule": v.Rule, "left": "none", "next_day": "none"}
		if v.Left != nil {
			got["left"] = strconv.Itoa(*v.Left)
		}
		if v.NextDay != nil {
			got["next_day"] = v.NextDay.String()
		}
		for _, f := range want.Fields() {
			if g := got[f.Key.Text]; g != f.Value.String() {
				found = append(found, f.Value.Problem("example-differs", fmt.Sprintf("%s of %s comes out as %s in the example %q", f.Key.Text, a, g, e.Name),
					f.Value.String()+", as the example expects", "correct the rule or the example: "+v.Says))
			}
		}
	}
	return found
}

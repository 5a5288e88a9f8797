package rubric

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rootcue/engine/place"
	"rootcue/engine/shape"
)

// A LimitEdit changes the limit of a fault or outcome for one band. Exactly one
// of AtMost, AtLeast and Between is given, the one that the fault has, in the
// unit in which the file gives it.
type LimitEdit struct {
	Fault   string      `json:"fault" doc:"A fault or outcome of the rubric"`
	Band    string      `json:"band" doc:"An age band of the rubric"`
	AtMost  *float64    `json:"at_most,omitempty" doc:"The highest sound value"`
	AtLeast *float64    `json:"at_least,omitempty" doc:"The lowest sound value"`
	Between *[2]float64 `json:"between,omitempty" doc:"The lowest and the highest sound value"`
}

// SetLimits puts new limits into a rubric file and touches nothing else: only
// the bytes of the numbers change, so that comments and layout survive. One
// number that serves all bands becomes a map of bands. The bytes are nil if
// there are problems: those of the file, or those of the edits, with a JSON
// Pointer into the list of edits. The outcome has still to be parsed: a new
// limit may be one that no rubric can have.
func SetLimits(file string, src []byte, others func(string) ([]byte, bool), edits []LimitEdit) ([]byte, []place.Problem) {
	r, problems := Parse(file, src, others)
	if r == nil {
		return nil, problems
	}
	root, _ := shape.Read(file, src)
	e := editor{r: r, root: root, shared: map[*shape.Node]map[string]string{}}
	for i, edit := range edits {
		e.at = fmt.Sprintf("/%d", i)
		e.edit(edit)
	}
	e.spread()
	if len(e.problems) > 0 {
		place.Sort(e.problems)
		return nil, place.Cap(e.problems)
	}
	return e.apply(src), nil
}

// An editor collects the replacements of several edits.
type editor struct {
	r        *Rubric
	root     *shape.Node
	at       string // JSON Pointer of the edit being made
	done     []LimitEdit
	changes  []change
	shared   map[*shape.Node]map[string]string // new values by band of limits that serve all bands
	order    []*shape.Node                     // keys of shared as they came
	problems []place.Problem
}

// A change replaces the bytes from…to.
type change struct {
	from, to int
	text     string
}

func (e *editor) refuse(key, code, found, wanted, hint string) {
	e.problems = append(e.problems, place.Problem{Code: code, Pointer: e.at + key, Found: found, Wanted: wanted, Hint: hint})
}

func (e *editor) edit(edit LimitEdit) {
	kind, values, ok := e.values(edit)
	if !ok {
		return
	}
	for _, d := range e.done {
		if d.Fault == edit.Fault && d.Band == edit.Band {
			e.refuse("", "repeated-edit", "a second edit of "+edit.Fault+" for "+edit.Band, "each limit once", "")
			return
		}
	}
	e.done = append(e.done, edit)
	n, ofBand := e.limit(edit, kind)
	switch {
	case n == nil:
		e.refuse("/fault", "inherited", "the limit of "+edit.Fault+" for "+edit.Band+", which stands in the rubric that this one extends", "a limit of the file itself", "write the limit into this file, or edit the other rubric")
		return
	case ofBand:
		e.replace(n, values)
		return
	}
	if e.shared[n] == nil {
		e.shared[n] = map[string]string{}
		e.order = append(e.order, n)
	}
	e.shared[n][edit.Band] = written(values)
}

// values checks an edit's fault and band and gives its kind and numbers.
func (e *editor) values(edit LimitEdit) (LimitKind, []float64, bool) {
	i := e.r.FaultNamed(edit.Fault)
	if i < 0 {
		names := make([]string, len(e.r.Faults))
		for k, f := range e.r.Faults {
			names[k] = f.Name
		}
		e.refuse("/fault", "unknown-fault", "the fault "+quote(edit.Fault), "a fault or outcome of "+e.r.Name, shape.DidYouMean(edit.Fault, names))
		return "", nil, false
	}
	names := make([]string, len(e.r.Bands))
	for k, b := range e.r.Bands {
		names[k] = b.Name
	}
	if !slices.Contains(names, edit.Band) {
		e.refuse("/band", "unknown-band", "the band "+quote(edit.Band), "one of the bands "+strings.Join(names, ", "), shape.DidYouMean(edit.Band, names))
		return "", nil, false
	}
	kinds, values := given(edit)
	has := e.r.Faults[i].Limit.Kind
	switch {
	case has == "" || has == MustBe:
		e.refuse("/fault", "limit-missing", "the fault "+edit.Fault+", which has no number as its limit", "a fault with at_most, at_least or between", "")
	case len(kinds) != 1:
		e.refuse("", "one-of", fmt.Sprintf("%d limits", len(kinds)), "one of at_most, at_least and between", "")
	case kinds[0] != has:
		e.refuse("/"+string(kinds[0]), "wrong-limit", string(kinds[0])+" for "+edit.Fault, string(has)+", which the fault has", "edit the file to change the kind of a limit")
	case slices.ContainsFunc(values, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }):
		e.refuse("/"+string(has), "not-finite", "a limit that is not finite", "a finite number", "")
	default:
		return has, values, true
	}
	return "", nil, false
}

// given lists the kinds of limit that an edit sets, and the numbers of the
// last.
func given(edit LimitEdit) (kinds []LimitKind, values []float64) {
	if edit.AtMost != nil {
		kinds, values = append(kinds, AtMost), []float64{*edit.AtMost}
	}
	if edit.AtLeast != nil {
		kinds, values = append(kinds, AtLeast), []float64{*edit.AtLeast}
	}
	if edit.Between != nil {
		kinds, values = append(kinds, Between), edit.Between[:]
	}
	return kinds, values
}

// limit finds the limit in the file itself, and whether it is the band's own
// or serves all bands; nil if the file has none.
func (e *editor) limit(edit LimitEdit, kind LimitKind) (n *shape.Node, ofBand bool) {
	for _, section := range []string{"faults", "outcomes"} {
		if n = e.root.Get(section).Get(edit.Fault).Get(string(kind)); n != nil {
			break
		}
	}
	if v := n.Get("value"); v != nil {
		n = v
	}
	if n != nil && n.Kind == shape.Map {
		return n.Get(edit.Band), true
	}
	return n, false
}

// replace puts numbers in place of those of a limit.
func (e *editor) replace(n *shape.Node, values []float64) {
	nodes := []*shape.Node{n}
	if n.Kind == shape.List {
		nodes = n.Items()
	}
	for i, v := range nodes {
		from, to, ok := v.Span()
		if !ok {
			e.refuse("", "not-editable", "a limit that is not written as a plain number, in line "+number(float64(v.Line)), "a plain number", "edit the file")
			return
		}
		e.changes = append(e.changes, change{from, to, number(values[i])})
	}
}

// spread turns limits that serve all bands into maps of bands.
func (e *editor) spread() {
	for _, n := range e.order {
		from, to, ok := n.Span()
		old := n.Text
		if n.Kind == shape.List {
			from, to, ok = n.ListSpan()
			it := n.Items()
			old = "[" + it[0].Text + ", " + it[1].Text + "]"
		}
		if !ok {
			e.at = ""
			e.refuse("", "not-editable", "a limit for all bands that is not written in one piece, in line "+number(float64(n.Line)), "a number or [lowest, highest]", "edit the file")
			continue
		}
		each := make([]string, len(e.r.Bands))
		for i, b := range e.r.Bands {
			value, changed := e.shared[n][b.Name]
			if !changed {
				value = old
			}
			each[i] = quote(b.Name) + ": " + value
		}
		e.changes = append(e.changes, change{from, to, "{" + strings.Join(each, ", ") + "}"})
	}
}

// written writes a limit as the file does.
func written(values []float64) string {
	if len(values) == 1 {
		return number(values[0])
	}
	return "[" + number(values[0]) + ", " + number(values[1]) + "]"
}

// apply makes the changes, none of which overlap.
func (e *editor) apply(src []byte) []byte {
	slices.SortFunc(e.changes, func(a, b change) int { return a.from - b.from })
	var out []byte
	last := 0
	for _, c := range e.changes {
		out = append(append(out, src[last:c.from]...), c.text...)
		last = c.to
	}
	return append(out, src[last:]...)
}

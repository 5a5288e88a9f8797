package practice

import (
	"regexp"
	"strconv"
	"strings"

	"rootcue/engine/place"
	"rootcue/engine/shape"
)

// A Document is a practice as an instructor writes it: some players' gains are
// in assessments that the caller has to fetch.
type Document struct {
	Practice Practice
	Sources  []Source

	root *shape.Node
}

// A Source is a player's assessment, named but not yet read.
type Source struct {
	Player int    // index into Practice.Players
	Name   string // as written: a file, beside the practice's own
	at     *shape.Node
}

// Problem reports what is wrong with the source, at its place in the document.
func (s Source) Problem(code, found, wanted, hint string) place.Problem {
	return s.at.Problem(code, found, wanted, hint)
}

// Form is the shape of a practice document. What it cannot say, how entries hang
// together, stands in the texts and is Check's business.
var Form = shape.Object(
	shape.Need("practice", "The practice", "How long, in what turns, with how many helpers.", shape.Object(
		shape.Need("minutes", "Minutes", "Of the whole practice; one turn at least, "+strconv.Itoa(mostTurns)+" at most.", shape.Whole(1, mostMinutes)),
		shape.Need("turn", "Turn", "Minutes a turn.", shape.Whole(1, mostMinutes)),
		shape.Need("helpers", "Helpers", "Who can each run one station.", shape.Whole(0, mostAtOnce)))),
	shape.Need("stations", "Stations", "A drill and how many can do it at once. Each drill once.", shape.ListOf(shape.Object(
		shape.Need("drill", "Drill", "The drill's name.", shape.Str()),
		shape.Need("places", "Places", "Players at once.", shape.Whole(1, mostAtOnce)),
		shape.Need("throws", "Throws", "By each player in a turn; 0 where nobody throws.", shape.Whole(0, mostAtOnce)),
		shape.May("helper", "Helper", "Needs a helper for the whole practice; false: runs alone.", shape.YesNo())), 1, MostStations)),
	shape.Need("players", "Players", "Who comes, with what a turn at each drill would give: gains or an assessment, not both. Each player once.", shape.ListOf(shape.Object(
		shape.Need("ref", "Player", "The club's own reference.", shape.Str()),
		shape.May("throws_left", "Throws left", "Today, by the rules in force.", shape.Whole(0, mostThrowsLeft)),
		shape.May("gains", "Gains", "Seconds a turn, by drill.", shape.MapOf(drillName, shape.Range(0, mostGain))),
		shape.May("assessment", "Assessment", "An assessment document: a file, or the document itself.", shape.Any())).Some("gains", "assessment"), 1, mostPlayers)),
)

var drillName = &shape.Name{What: "drill", Pattern: regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`), Says: "lower-case words joined by -"}

// Read reads a practice, YAML or JSON. With any problem but warnings there is
// no document. Gains of the players in Sources are still to be filled in.
func Read(file string, src []byte) (*Document, []place.Problem) {
	root, problems := shape.Read(file, src)
	if root == nil {
		return nil, problems
	}
	problems = append(problems, Form.Check(root)...)
	if place.Failed(problems) {
		return nil, problems
	}
	d := &Document{root: root}
	problems = append(problems, d.decode()...)
	for _, p := range d.Practice.Check() {
		problems = append(problems, d.placed(p))
	}
	if place.Failed(problems) {
		return nil, problems
	}
	return d, append(problems, d.unknownDrills()...)
}

// decode takes a document of the right form apart.
func (d *Document) decode() []place.Problem {
	var problems []place.Problem
	p, at := &d.Practice, d.root.Get("practice")
	p.Minutes, p.Turn, p.Helpers = at.Get("minutes").Int(0), at.Get("turn").Int(0), at.Get("helpers").Int(0)
	for _, s := range d.root.Get("stations").Items() {
		p.Stations = append(p.Stations, Station{Drill: s.Get("drill").String(), Places: s.Get("places").Int(0), Throws: s.Get("throws").Int(0), Helper: s.Get("helper").True()})
	}
	for i, n := range d.root.Get("players").Items() {
		who := Player{Ref: n.Get("ref").String(), Gains: map[string]float64{}}
		if left := n.Get("throws_left"); left != nil {
			throws := left.Int(0)
			who.ThrowsLeft = &throws
		}
		for _, g := range n.Get("gains").Fields() {
			who.Gains[g.Key.Text] = g.Value.Number
		}
		if problem := d.assessment(&who, i, n); problem != nil {
			problems = append(problems, *problem)
		}
		p.Players = append(p.Players, who)
	}
	return problems
}

// assessment takes a player's assessment, if the document itself is given, or
// keeps its name for the caller.
func (d *Document) assessment(who *Player, i int, n *shape.Node) *place.Problem {
	a := n.Get("assessment")
	var problem place.Problem
	switch {
	case a == nil:
		return nil
	case n.Get("gains") != nil:
		problem = a.Problem("both-given", "gains and an assessment for "+who.Ref, "one of them", "")
	case a.Kind == shape.Text:
		d.Sources = append(d.Sources, Source{i, a.Text, a})
		return nil
	case a.Kind == shape.Map:
		doc, err := ReadAssessment(a.JSON())
		if err == nil {
			who.Take(doc)
			return nil
		}
		problem = a.Problem("not-an-assessment", err.Error(), "an assessment document", "")
	default:
		problem = a.Problem("wrong-type", a.Describe(), "a file's name or an assessment document", "")
	}
	return &problem
}

// Take sets the player's gains, and whether throwing is stopped, from an
// assessment.
func (p *Player) Take(a Assessment) {
	p.Gains, p.Stopped = a.Gains(), p.Stopped || a.Stopped()
}

// placed adds line and column to a problem that has a pointer.
func (d *Document) placed(p place.Problem) place.Problem {
	n := d.root
	for _, key := range strings.Split(strings.TrimPrefix(p.Pointer, "/"), "/") {
		next := n.Get(key)
		if i, err := strconv.Atoi(key); err == nil && n.Kind == shape.List {
			next = n.Items()[i]
		}
		if next == nil {
			break
		}
		n = next
	}
	return n.Problem(p.Code, p.Found, p.Wanted, p.Hint)
}

// unknownDrills warns of gains at drills that no station offers: a slip of the
// pen would otherwise cost a player that gain.
func (d *Document) unknownDrills() []place.Problem {
	var drills []string
	known := map[string]bool{}
	for _, s := range d.Practice.Stations {
		drills, known[s.Drill] = append(drills, s.Drill), true
	}
	var problems []place.Problem
	for _, n := range d.root.Get("players").Items() {
		for _, g := range n.Get("gains").Fields() {
			if known[g.Key.Text] {
				continue
			}
			problems = append(problems, g.Key.Warning("unknown-drill", "a gain at "+g.Key.Text, "the drill of a station: "+place.List(drills), shape.DidYouMean(g.Key.Text, drills)))
		}
	}
	return problems
}

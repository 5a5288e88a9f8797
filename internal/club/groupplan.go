package club

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"rootcue/engine/civil"
	"rootcue/engine/place"
	"rootcue/engine/practice"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// A PracticeAsked is the practice a group is planned for.
type PracticeAsked struct {
	On       string         `json:"on,omitempty" format:"date" doc:"The day of the practice, today or later; today where the club is when left out"`
	Practice PracticeTime   `json:"practice"`
	Stations []StationAsked `json:"stations,omitempty" nullable:"true" maxItems:"60" doc:"What there is room for; left out: every drill of the rubrics in force that would help somebody"`
}

// A PracticeTime is how long a practice is, in what turns, with how many helpers.
type PracticeTime struct {
	Minutes int `json:"minutes" minimum:"1" maximum:"1440" doc:"Of the whole practice"`
	Turn    int `json:"turn" minimum:"1" maximum:"1440" doc:"Minutes a turn"`
	Helpers int `json:"helpers" minimum:"0" maximum:"1000" doc:"Who can each run one station"`
}

// A GroupPlan is one plan for a group's practice, and what it rests on.
type GroupPlan struct {
	Group    string         `json:"group" doc:"The group planned for"`
	On       civil.Date     `json:"on" doc:"The day of the practice"`
	Stations []GroupStation `json:"stations" doc:"What the plan chose from, by name"`
	practice.Plan
	Shared   []SharedRoot       `json:"shared_roots" doc:"Faults that several are to work on, those of most players first"`
	Members  []GroupMember      `json:"members" doc:"What the plan rests on, player by player"`
	Cautions []workload.Caution `json:"cautions" doc:"For everybody; no plan is without the standing note"`
}

// A SharedRoot is a fault that several of a group are to work on.
type SharedRoot struct {
	Rubric  string   `json:"rubric"`
	Fault   string   `json:"fault"`
	Title   string   `json:"title"`
	Drills  []string `json:"drills" doc:"That any of them does for it"`
	Players []string `json:"players" doc:"Who are to work on it"`
}

// PlanGroup plans a practice for a group by the latest assessments of its
// members, with the instructor's word, and by what each arm may still throw that
// day: a stop leaves no turn that throws, and what was handed out under no gate
// is not handed out here either. Who may not see health entries learns that a
// caution applies, not why; who may is logged when the plan tells of any.
func (c *Clubs) PlanGroup(ctx context.Context, a Actor, name string, asked PracticeAsked) (plan GroupPlan, err error) {
	p := practice.Practice{Minutes: asked.Practice.Minutes, Turn: asked.Practice.Turn, Helpers: asked.Practice.Helpers}
	var drills map[string]GroupStation
	ids := map[string]string{} // surrogates, for the log
	err = c.view(ctx, a, func(tx store.Tx) error {
		g, err := groupOf(ctx, tx, name)
		if err != nil {
			return err
		}
		gate, err := c.gateOfDay(ctx, tx, asked.On)
		if err != nil {
			return err
		}
		rubrics, err := c.rubricsInForce(ctx, tx)
		if err != nil {
			return err
		}
		plan, drills = GroupPlan{Group: name, On: gate.today, Members: []GroupMember{}}, drillsOf(rubrics)
		for _, ref := range g.Players {
			m, who, err := c.groupMember(ctx, tx, gate, rubrics, ref)
			if err != nil {
				return err
			}
			player, err := tx.Player(ctx, ref)
			if err != nil {
				return err
			}
			ids[ref] = player.ID
			if !a.Health {
				ledger, err := ledgerOf(ctx, tx, ref, gate.today)
				if err != nil {
					return err
				}
				m.AsRecordedTo = lastSeen(ledger)
			}
			plan.Members, p.Players = append(plan.Members, m), append(p.Players, who)
		}
		return nil
	})
	if err != nil {
		return plan, err
	}
	if err := plan.make(p, asked, drills); err != nil {
		return plan, err
	}
	return plan, c.showPlan(ctx, a, &plan, ids)
}

// gateOfDay is the gate of the day of a practice, which cannot be over.
func (c *Clubs) gateOfDay(ctx context.Context, tx store.Tx, day string) (*shownGate, error) {
	g, err := c.newShownGate(ctx, tx)
	if err != nil {
		return nil, err
	}
	on, err := dayOr(tx, g.settings, day)
	if err != nil {
		return nil, err
	}
	if on.Before(g.today) {
		return nil, refuse("bad-date", "/on", on.String(), "a day from "+g.today.String()+" on", "what an arm may do is known for today and later")
	}
	g.today = on
	return g, nil
}

// rubricsInForce are the versions that judge what comes in today, by name.
func (c *Clubs) rubricsInForce(ctx context.Context, tx store.Tx) (list []*Version, err error) {
	docs, err := tx.ActiveDocuments(ctx, store.KindRubric)
	for _, d := range docs {
		v, err := c.inForce(ctx, tx, d.Name)
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	return list, err
}

// make lays the plan out.
func (plan *GroupPlan) make(p practice.Practice, asked PracticeAsked, drills map[string]GroupStation) error {
	if len(p.Players) == 0 {
		return refuse("empty-group", "", "a group without players", "a group with at least one player", "put the group's players first")
	}
	var left []practice.Leaving
	var slips []place.Problem
	if asked.Stations == nil {
		plan.Stations, left = stationsFor(p.Players, drills, p.Turn)
	} else {
		plan.Stations, slips = stationsAsked(asked.Stations, drills)
	}
	for _, s := range plan.Stations {
		p.Stations = append(p.Stations, practice.Station{Drill: s.Drill, Places: s.Places, Throws: s.Throws, Helper: s.Helper})
	}
	for _, slip := range p.Check() {
		if slip.Pointer != "/stations" || asked.Stations != nil { // no drill helps anybody: a plan without turns, which says so
			slips = append(slips, slip)
		}
	}
	if len(slips) > 0 {
		return &Refusal{slips}
	}
	plan.Plan = practice.Make(p)
	plan.LeftOver = append(left, plan.LeftOver...)
	plan.Shared = sharedRoots(plan.Members)
	if plan.Stations == nil {
		plan.Stations = []GroupStation{}
	}
	slices.SortFunc(plan.Stations, func(x, y GroupStation) int { return cmp.Compare(x.Drill, y.Drill) })
	return nil
}

// sharedRoots are the faults that at least two members are to work on.
func sharedRoots(members []GroupMember) []SharedRoot {
	shared, at := []SharedRoot{}, map[string]int{}
	for _, m := range members {
		for _, r := range m.Roots {
			key := r.Rubric + " " + r.Fault
			i, known := at[key]
			if !known {
				i = len(shared)
				at[key], shared = i, append(shared, SharedRoot{r.Rubric, r.Fault, r.Title, []string{}, nil})
			}
			shared[i].Players = append(shared[i].Players, m.Ref)
			for _, d := range r.Drills {
				if !slices.Contains(shared[i].Drills, d) {
					shared[i].Drills = append(shared[i].Drills, d)
				}
			}
		}
	}
	shared = slices.DeleteFunc(shared, func(s SharedRoot) bool { return len(s.Players) < 2 })
	slices.SortStableFunc(shared, func(x, y SharedRoot) int {
		return cmp.Or(cmp.Compare(len(y.Players), len(x.Players)), strings.Compare(x.Rubric+" "+x.Fault, y.Rubric+" "+y.Fault))
	})
	return shared
}

// showPlan makes the plan what the actor may see, and logs of whom it tells
// health entries.
func (c *Clubs) showPlan(ctx context.Context, a Actor, plan *GroupPlan, ids map[string]string) error {
	var told []string
	for i := range plan.Members {
		m := &plan.Members[i]
		if a.Health && slices.ContainsFunc(m.Cautions, ofHealth) {
			told = append(told, m.Ref)
		}
		if !a.Health {
			m.Cautions = withoutCauses(m.Cautions)
		}
		if common := m.split(); len(common) > len(plan.Cautions) {
			plan.Cautions = common
		}
	}
	if len(told) == 0 {
		return nil
	}
	return c.write(ctx, a, func(tx store.Tx) error {
		for _, ref := range told {
			if err := logged(ctx, tx, a.KeyID, "health.read", "player/"+ids[ref], struct{}{}); err != nil {
				return err
			}
		}
		return nil
	})
}

// ofHealth reports whether a caution tells of somebody's health.
func ofHealth(c workload.Caution) bool {
	return slices.Contains([]string{"pain-reported", "blow-reported", "tired"}, c.Code)
}

package club

import (
	"context"
	"slices"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"rootcue/engine"
	"rootcue/engine/civil"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// Records of so many players are held at once.
const gatedAtOnce = 64

// gateParts finds for each part that is to be judged what the arm's record says
// on its day.
func (c *Clubs) gateParts(ctx context.Context, tx store.Tx, parts []*part) error {
	s, err := settingsOf(ctx, tx)
	if err != nil {
		return err
	}
	for some := range slices.Chunk(parts, gatedAtOnce) {
		if err := c.gateSome(ctx, tx, s, some); err != nil {
			return err
		}
	}
	return nil
}

func (c *Clubs) gateSome(ctx context.Context, tx store.Tx, s Settings, parts []*part) error {
	var refs []string
	for _, p := range parts {
		if p.kept() && !slices.Contains(refs, p.r.Player.Ref) {
			refs = append(refs, p.r.Player.Ref)
		}
	}
	throws, err := tx.ThrowsOf(ctx, refs)
	if err != nil {
		return err
	}
	for _, p := range parts {
		if !p.kept() {
			continue
		}
		player, err := c.teamsOf(ctx, tx, s, p.r.Player.Ref)
		if err != nil {
			return err
		}
		policies, err := c.policiesFor(ctx, tx, s, player)
		if err != nil {
			return err
		}
		ledger, err := ledgerTo(p.r.On, throws[p.r.Player.Ref])
		if err != nil {
			return err
		}
		gate := engine.ArmGate(p.version.Rubric, p.r.Observation, policies, ledger)
		p.gate = &gate
	}
	return nil
}

// teamsOf gives the player for their teams; without policies of a team nobody
// is asked.
func (c *Clubs) teamsOf(ctx context.Context, tx store.Tx, s Settings, ref string) (store.Player, error) {
	if len(s.TeamPolicies) == 0 {
		return store.Player{}, nil
	}
	p, err := tx.Player(ctx, ref)
	if isNotFound(err) { // this observation makes them known
		return store.Player{}, nil
	}
	return p, err
}

// A shownGate is the gate of the day on which something is shown, by player.
type shownGate struct {
	settings Settings
	today    civil.Date
	by       map[string]workload.Gate
}

func (c *Clubs) newShownGate(ctx context.Context, tx store.Tx) (*shownGate, error) {
	s, err := settingsOf(ctx, tx)
	if err != nil {
		return nil, err
	}
	today, err := s.today(tx)
	return &shownGate{s, today, map[string]workload.Gate{}}, err
}

// gateToday is what a player's record says today.
func (c *Clubs) gateToday(ctx context.Context, tx store.Tx, g *shownGate, ref string) (workload.Gate, error) {
	if gate, known := g.by[ref]; known {
		return gate, nil
	}
	p, err := tx.Player(ctx, ref)
	if err != nil {
		return workload.Gate{}, err
	}
	policies, err := c.policiesFor(ctx, tx, g.settings, p)
	if err != nil {
		return workload.Gate{}, err
	}
	ledger, err := ledgerOf(ctx, tx, ref, g.today)
	if err != nil {
		return workload.Gate{}, err
	}
	age, err := ageOf(ctx, tx, p, g.today)
	if err != nil {
		return workload.Gate{}, err
	}
	gate := workload.NewGate(workload.GateInput{On: g.today, Player: age, Policies: policies, Ledger: &ledger})
	g.by[ref] = gate
	return gate, nil
}

// gated is a stored assessment under the gate of the day on which it is shown:
// the cautions are that day's, and what they stop is taken out of what was
// handed out. What was left out on its own day stays left out.
func (c *Clubs) gated(ctx context.Context, tx store.Tx, g *shownGate, row store.Assessment) ([]byte, error) {
	gate, err := c.gateToday(ctx, tx, g, row.PlayerRef)
	if err != nil {
		return nil, err
	}
	return rework(row.Body, gate, func(w []engine.WorkOn) []engine.WorkOn { return w })
}

// rework is an assessment document with other corrections; the gate comes last,
// so that nothing put in passes it.
func rework(body []byte, gate workload.Gate, change func([]engine.WorkOn) []engine.WorkOn) ([]byte, error) {
	doc, err := membersOf(body)
	if err != nil {
		return nil, err
	}
	var a engine.Assessment
	at := map[string]*jsontext.Value{}
	for i := range doc {
		at[doc[i].name] = &doc[i].value
	}
	if err := json.Unmarshal(*at["work_on"], &a.WorkOn); err != nil {
		return nil, err
	}
	a.WorkOn = change(a.WorkOn)
	a.ApplyGate(gate)
	for name, v := range map[string]any{"work_on": a.WorkOn, "cautions": a.Cautions} {
		b, err := json.Marshal(v)
		if err != nil {
			return nil, err
		}
		*at[name] = b
	}
	b, err := doc.object()
	return append(b, '\n'), err
}

// gateOf reads back from a stored assessment the gate it was made under: its
// cautions say all of it.
func gateOf(body []byte) (*workload.Gate, error) {
	var doc struct {
		Cautions []workload.Caution `json:"cautions"`
	}
	if err := json.Unmarshal(body, &doc); err != nil {
		return nil, err
	}
	g := &workload.Gate{Cautions: doc.Cautions}
	for _, c := range doc.Cautions {
		g.ThrowingStopped = g.ThrowingStopped || slices.Contains(c.Stops, workload.Throwing)
		g.EmptyAll = g.EmptyAll || c.Code == "pain-reported" || c.Code == "blow-reported"
	}
	return g, nil
}

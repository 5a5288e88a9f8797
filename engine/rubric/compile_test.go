package rubric

import (
	"crypto/sha256"
	"encoding/hex"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"rootcue/engine/formula"
	"rootcue/engine/unit"
)

// good parses one of the usable rubrics.
func good(t *testing.T, name string) *Rubric {
	t.Helper()
	r, _, text := parseFile(t, cases+"/good/"+name+".yaml")
	if r == nil {
		t.Fatal(text)
	}
	return r
}

// diff compares what was compiled, units by name and formulas by source.
func diff(want, got any) string {
	return cmp.Diff(want, got, cmp.Comparer(func(a, b unit.Unit) bool { return a == b }),
		cmp.Transformer("source", func(p *formula.Program) string {
			if p == nil {
				return ""
			}
			return p.Source()
		}), cmpopts.EquateApprox(0, 1e-12), cmpopts.IgnoreUnexported(Rubric{}), cmpopts.IgnoreFields(Measure{}, "Line", "FromCatch"), cmpopts.IgnoreFields(Constant{}, "Line"),
		cmpopts.IgnoreFields(Fault{}, "Line", "Reads", "Measures", "Constants", "Rules"), cmpopts.IgnoreFields(Drill{}, "Line"))
}

func TestCompileHeader(t *testing.T) {
	r := good(t, "every-key")
	src, err := os.ReadFile(cases + "/good/every-key.yaml")
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(src)
	want := Rubric{Name: "every-key", Title: "Every key", Skill: "throwing", SHA256: hex.EncodeToString(sum[:]), Cutoff: MonthDay{9, 1},
		Bands: []Band{{"8-10", 8, 10}, {"11+", 11, 18}}, BasePathUnit: unit.Must("ft"), FaultAt: 0.9, SoundAt: 0.1, WorkOn: 2, UnexplainedU: 0.07,
		Reference: &Reference{ByBand: []float64{1.1, 0.9}, U: 0.05, Source: "a guess"}, ExchangeMeasure: 0}
	got := Rubric{Name: r.Name, Title: r.Title, Skill: r.Skill, SHA256: r.SHA256, Cutoff: r.Cutoff, Bands: r.Bands, BasePathUnit: r.BasePathUnit,
		FaultAt: r.FaultAt, SoundAt: r.SoundAt, WorkOn: r.WorkOn, UnexplainedU: r.UnexplainedU, Reference: r.Reference, ExchangeMeasure: r.ExchangeMeasure}
	if d := diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestCompileDefaults(t *testing.T) {
	r := good(t, "small")
	if r.Cutoff != (MonthDay{4, 30}) || r.FaultAt != 0.80 || r.SoundAt != 0.20 || r.WorkOn != 3 || r.UnexplainedU != 0.05 || r.Reference != nil ||
		r.ExchangeMeasure != -1 || r.BasePathUnit != unit.Must("m") || r.Faults[0].Background != 0.05 {
		t.Errorf("got %+v", r)
	}
	for _, c := range r.Conditions {
		if c != (Conditions{}) {
			t.Errorf("conditions without a default: got %+v", c)
		}
	}
}

// TestCompileConditions: 1 ft = 0.3048 m exactly (NIST SP 811, B.8).
func TestCompileConditions(t *testing.T) {
	all := [ConditionCount]bool{true, true, true, true, true, true, true, true}
	want := []Conditions{
		{BasePath: 18.288, ThrowTo: 0, Ball: 1, Stance: 1, Pitch: 5, Batter: 2, RunnerMayLead: false, Thrown: true, Seen: all},
		{BasePath: 27.432, ThrowTo: 1, Ball: 1, Stance: 1, Pitch: 5, Batter: 2, RunnerMayLead: true, Thrown: true, Seen: all},
	}
	if d := diff(want, good(t, "every-key").Conditions); d != "" {
		t.Error(d)
	}
}

func TestCompileConstants(t *testing.T) {
	want := []Constant{
		{Name: "hand_speed", ByBand: []float64{2.5, 2.5}, U: 0.8, Unit: unit.Must("m/s"), Source: "another guess"},
		{Name: "goal_speed", ByBand: []float64{40, 46}, U: 2, Unit: unit.Must("mph")},
		{Name: "share", ByBand: []float64{0.5, 0.6}, Unit: unit.Must("1")},
	}
	if d := diff(want, good(t, "every-key").Constants); d != "" {
		t.Error(d)
	}
}

func TestCompileMeasures(t *testing.T) {
	r := good(t, "every-key")
	stature, one := unit.Must("stature"), unit.Must("1")
	built := func(name, title string) Measure {
		return Measure{Name: name, Title: title, Kind: Quantity, Unit: stature, Enter: stature, BuiltIn: true}
	}
	want := []Measure{
		{Name: "exchange_time", Title: "Exchange", Kind: Quantity, Unit: unit.Must("s"), Enter: unit.Must("ms"), Plausible: [2]float64{0.3, 4}, HasRange: true, U: 0.02, Source: "stopwatch"},
		{Name: "hip_height", Title: "Hip", Kind: Quantity, Unit: stature, Enter: unit.Must("cm"), Plausible: [2]float64{0.1, 0.6}, HasRange: true, U: 0.02},
		{Name: "mitt_open", Title: "Mitt", Kind: YesNo, Unit: one, Enter: one},
		{Name: "setup_grade", Title: "Set-up", Kind: Grade, Unit: one, Enter: one, Plausible: [2]float64{1, 5}, HasRange: true, U: 0.5, Scale: [2]float64{1, 5}},
		{Name: "twice_ratio", Title: "Twice", Kind: Quantity, Unit: one, Enter: one},
		{Name: "path_ratio", Title: "Path", Kind: Quantity, Unit: one, Enter: one},
		{Name: "straight_path", Title: "Straight line", Kind: Quantity, Unit: stature, Enter: stature, U: 0.01},
		built("hand_path", "Way of the hand, catch to ear"),
		built("low_detour", "Detour of the hand through a low change"),
		built("back_detour", "Detour of the hand through the drawback"),
	}
	got := make([]Measure, len(r.Measures))
	for i, m := range r.Measures {
		got[i] = m
		got[i].Formula = nil
	}
	if d := diff(want, got); d != "" {
		t.Error(d)
	}
	if f := r.Measures[4].Formula; f == nil || f.Source() != "path_ratio * 2" {
		t.Error("the formula is not compiled")
	}
	// What is read comes before what reads it.
	if d := cmp.Diff([]int{5, 4}, r.Formulas); d != "" {
		t.Error(d)
	}
}

func TestCompileFaults(t *testing.T) {
	r := good(t, "every-key")
	both := []bool{true, true}
	want := []Fault{
		{Name: "tall", Title: "Tall", Measure: 1, Limit: Limit{Kind: AtMost, Lo: []float64{0, 0}, Hi: []float64{0.40, 0.38}, Has: both, Source: "body segments"},
			Background: 0.3, ArmLoad: true, Cue: "Low", Praise: "You are low", Drills: []int{0, 1}},
		{Name: "closed", Title: "Closed", Measure: 2, Limit: Limit{Kind: MustBe, MustBe: true, Source: "common practice"}, Safety: true, Cue: "Open", Praise: "Open mitt"},
		{Name: "poor", Title: "Poor", Measure: 3, Limit: Limit{Kind: AtLeast, Lo: []float64{3.5, 3.5}, Hi: []float64{0, 0}, Has: both}, Background: 0.05, Cue: "Set up", Praise: "Good set-up"},
		{Name: "late", Title: "Late", Measure: -1, Background: 0.05, Cue: "Sooner", Praise: "In time"},
		{Name: "long", Title: "Long", Measure: 4, Limit: Limit{Kind: Between, Lo: []float64{2, 2}, Hi: []float64{4.5, 4.5}, Has: both}, Background: 0.05, Cue: "Short", Praise: "Short way"},
		// 1350 ms is 1.35 s, the measure's unit.
		{Name: "slow", Title: "Slow", Outcome: true, Measure: 0, Limit: Limit{Kind: AtMost, Lo: []float64{0, 0}, Hi: []float64{1.35, 1.2}, Has: both, Unit: "ms"}, Background: 0.05, Praise: "Quick", Source: "stopwatch"},
		{Name: "later", Title: "Later", Outcome: true, Measure: -1, Background: 0.05},
	}
	got := make([]Fault, len(r.Faults))
	for i, f := range r.Faults {
		got[i] = f
		got[i].When, got[i].OnlyIf, got[i].Costs = nil, nil, nil
	}
	if d := diff(want, got); d != "" {
		t.Error(d)
	}
	tall, late := r.Faults[0], r.Faults[3]
	if tall.OnlyIf.Source() != `stance == "two-feet" || age > 9` || !strings.HasPrefix(tall.Costs.Source(), "max(0,") || late.When == nil || r.Faults[6].OnlyIf.Source() != "true" {
		t.Error("conditions and costs are not compiled")
	}
	// costs of tall: hip_height, hand_speed, share, stature, limit.
	var reads []string
	for _, slot := range tall.Reads {
		reads = append(reads, r.Slots.Env.Names[slot].Name)
	}
	if d := cmp.Diff([]string{"hip_height", "hand_speed", "share", "stature", "limit"}, reads); d != "" {
		t.Error(d)
	}
}

func TestCompileNetwork(t *testing.T) {
	r := good(t, "every-key")
	wantLinks := []Link{{0, 1, 0.85, "It is so."}, {0, 5, 0.25, "It takes time."}, {5, 6, 1, "Sum."}}
	wantPairs := []Pair{{First: 2, Second: 3, Weight: 0.7, Strength: 0.1, Hold: 3, SettleBy: "Try it.", Because: "Both come together."},
		{First: 4, Second: 3, Weight: 0.5, Strength: 0.6, Hold: -1}}
	if d := cmp.Diff(wantLinks, r.Links); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff(wantPairs, r.Pairs); d != "" {
		t.Error(d)
	}
	if r.Graph == nil {
		t.Error("no graph")
	}
}

func TestCompileDrills(t *testing.T) {
	want := []Drill{
		{Name: "walk", Title: "Walk", How: "Walk low.", Dose: "2 x 8", Throws: 4, Minutes: 5.5, Places: 3, Helper: true, Kit: []string{"string", "cones"}, Source: "common practice"},
		{Name: "hold", Title: "hold", Places: 1},
	}
	if d := diff(want, good(t, "every-key").Drills); d != "" {
		t.Error(d)
	}
}

// TestCompileExamples: what is given becomes a whole observation document.
func TestCompileExamples(t *testing.T) {
	want := []Example{
		{Name: "in short", Given: []byte(`{"conditions":{"ball":"dry","base_path":{"value":60,"unit":"ft"}},"on":"2026-03-01","player":{"age":9,"ref":"example","stature_cm":134,"throws":"left"},` +
			`"reps":[{"measures":{"hip_height":{"value":61,"u":2,"unit":"cm"},"mitt_open":false},"rep":1}],"rubric":"every-key"}`),
			Faults: []string{"tall", "closed"}, Sound: []string{"poor"}, First: "closed", File: "every-key.yaml", Line: 64},
		{Name: "rep by rep", Given: []byte(`{"on":"2026-05-09","player":{"age":12,"ref":"example"},"reps":[{"measures":{"setup_grade":2},"rep":1},` +
			`{"clip":"c/1","conditions":{"pitch":"high"},"held":["late"],"marks":{"fps":120,"frames":{"catch":1}},"measures":{"exchange_time":1.8},"rep":7}],"rubric":"every-key"}`),
			Faults: []string{"poor", "late", "long"}, File: "every-key.yaml", Line: 67},
	}
	if d := cmp.Diff(want, good(t, "every-key").Examples, cmp.Transformer("text", func(b []byte) string { return string(b) })); d != "" {
		t.Error(d)
	}
}

// TestSlots: every name lies where Slots says.
func TestSlots(t *testing.T) {
	r := good(t, "every-key")
	names := r.Slots.Env.Names
	at := func(slot int, want string) {
		t.Helper()
		if names[slot].Name != want {
			t.Errorf("slot %d holds %s, want %s", slot, names[slot].Name, want)
		}
	}
	for i, m := range r.Measures {
		at(r.Slots.Measure+i, m.Name)
	}
	for i, k := range r.Constants {
		at(r.Slots.Constant+i, k.Name)
	}
	for cond := range ConditionCount {
		at(r.Slots.Condition+int(cond), ConditionNames[cond])
	}
	at(r.Slots.Distance, "throw_distance")
	at(r.Slots.Age, "age")
	at(r.Slots.Stature, "stature")
	at(r.Slots.Limit, "limit")
	if r.Slots.Count != len(names) || r.Slots.Limit != len(names)-1 {
		t.Errorf("count %d, names %d", r.Slots.Count, len(names))
	}
	kinds := map[string]formula.Kind{"mitt_open": formula.Bool, "setup_grade": formula.Number, "base_path": formula.Number, "ball": formula.Enum,
		"runner_may_lead": formula.Bool, "thrown": formula.Bool, "hand_speed": formula.Number}
	for _, n := range names {
		if want, checked := kinds[n.Name]; checked && n.Kind != want {
			t.Errorf("%s is of kind %d, want %d", n.Name, n.Kind, want)
		}
	}
}

// TestExtends: maps are merged by key, the rest is replaced, null takes out.
func TestExtends(t *testing.T) {
	r := good(t, "over-it")
	if r.Name != "over-it" || r.Title != "Over it" || r.Skill != "throwing" || r.Reference != nil || r.Pairs != nil {
		t.Errorf("header: got %+v", r)
	}
	if d := cmp.Diff([]Band{{"8-10", 8, 10}, {"11-12", 11, 12}}, r.Bands); d != "" {
		t.Error(d)
	}
	if c := r.Conditions[1]; math.Abs(c.BasePath-21.336) > 1e-12 || c.ThrowTo != 0 || c.Ball != 1 || c.Seen[RunnerMayLead] {
		t.Errorf("conditions: got %+v", c)
	}
	if d := cmp.Diff([]float64{40, 44}, r.Constants[1].ByBand); d != "" || r.Constants[1].U != 2 {
		t.Error(d)
	}
	tall, long, slow := r.Faults[r.FaultNamed("tall")], r.Faults[r.FaultNamed("long")], r.Faults[r.FaultNamed("slow")]
	if d := cmp.Diff([]float64{0.40, 0.37}, tall.Limit.Hi); d != "" || tall.Limit.Source != "body segments" || len(tall.Drills) != 1 || tall.Cue != "Low" {
		t.Errorf("tall: %s got %+v", d, tall)
	}
	if long.Limit.Kind != AtMost || long.Limit.Hi[0] != 4 {
		t.Errorf("long: got %+v", long.Limit)
	}
	if slow.Limit.Hi[1] != 1.3 || slow.Source != "stopwatch" {
		t.Errorf("slow: got %+v", slow)
	}
	if r.FaultNamed("poor") >= 0 || r.MeasureNamed("setup_grade") >= 0 || len(r.Drills) != 1 || len(r.Links) != 2 {
		t.Error("what was taken out is still there")
	}
	if len(r.Examples) != 1 || !strings.Contains(string(r.Examples[0].Given), `"rubric":"over-it"`) {
		t.Errorf("examples: got %+v", r.Examples)
	}
}

// TestExtendsChangesDigest: the digest tells apart what the file says and what
// it extends.
func TestExtendsChangesDigest(t *testing.T) {
	base := string(read(t, cases+"/good/small.yaml"))
	digest := func(src, base string) string {
		r, problems := Parse("f", []byte(src), func(string) ([]byte, bool) { return []byte(base), true })
		if r == nil {
			t.Fatal(problems)
		}
		return r.SHA256
	}
	child := "rubric: child\nextends: small\n"
	seen := map[string]bool{}
	for _, d := range []string{digest(child, base), digest(child+"# said\n", base), digest(child, base+"# said\n"), digest(base, "")} {
		seen[d] = true
	}
	if len(seen) != 4 {
		t.Errorf("%d digests for four rubrics", len(seen))
	}
}

func TestExtendsWithoutFolder(t *testing.T) {
	r, problems := Parse("f", []byte("rubric: child\nextends: small\n"), nil)
	if r != nil || len(problems) != 1 || problems[0].Code != "unknown-rubric" {
		t.Errorf("got %v", problems)
	}
}

// TestParseCaps: fifty problems at a time, in the order of the file.
func TestParseCaps(t *testing.T) {
	src := "rubric: a\n"
	for i := range 80 {
		src += "key" + strings.Repeat("x", i) + ": 1\n"
	}
	_, problems := Parse("f", []byte(src), nil)
	last := problems[len(problems)-1]
	if len(problems) != 51 || last.Code != "more" || last.Found != "34 more problems" {
		t.Errorf("got %d problems, last %+v", len(problems), last)
	}
	for i := 1; i < 50; i++ {
		if problems[i].Line < problems[i-1].Line {
			t.Errorf("line %d comes after line %d", problems[i].Line, problems[i-1].Line)
		}
	}
}

func TestLimitTable(t *testing.T) {
	golden(t, cases+"/limits.txt", good(t, "over-it").LimitTable())
}

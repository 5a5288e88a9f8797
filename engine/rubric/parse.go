package rubric

import (
	"crypto/sha256"
	"encoding/hex"
	"maps"
	"slices"

	"rootcue/engine/place"
	"rootcue/engine/shape"
)

// Parse reads and compiles a rubric file. file names it in problems; others
// gives the bytes of another rubric of the same folder, for `extends`, and may
// be nil. All problems come at once, in the order of their places and at most
// place.Most of them; the rubric is nil if any is more than a warning. Slips in
// an extended rubric carry that rubric's name as their file.
func Parse(file string, src []byte, others func(name string) ([]byte, bool)) (*Rubric, []place.Problem) {
	s := &sources{others: others}
	root, sum := s.load(file, src)
	c := &compiler{r: &Rubric{SHA256: sum}, problems: s.problems}
	if root != nil {
		c.problems = append(c.problems, table.Check(root)...)
		c.compile(root)
	}
	// What an extended rubric lacks is its own concern.
	problems := slices.DeleteFunc(c.problems, func(p place.Problem) bool { return p.Warning && p.File != file })
	place.Sort(problems)
	problems = place.Cap(slices.Compact(problems))
	if place.Failed(problems) {
		return nil, problems
	}
	return c.r, problems
}

// A compiler turns the nodes of a rubric into a Rubric. Each step goes on past
// slips, so that one run finds them all.
type compiler struct {
	r         *Rubric
	problems  []place.Problem
	measures  map[string]int // declared and built in
	constants map[string]int
	faults    map[string]int
	drills    map[string]int
	agesSound bool          // the bands have no slip
	nodes     []*shape.Node // of each fault
	linkKeys  []*shape.Node // of each link
	formulas  []formulaNode // of each measure
	usedDrill []bool
	usedSlot  []bool
	expected  []bool       // faults that an example expects
	doubtful  map[int]bool // measures whose declaration has a slip
}

func (c *compiler) report(p place.Problem) { c.problems = append(c.problems, p) }

func (c *compiler) compile(root *shape.Node) {
	c.header(root)
	c.bands(root.Get("bands"))
	c.conditions(root.Get("conditions"))
	c.readConstants(root.Get("constants"))
	c.readMeasures(root.Get("measures"))
	c.reference(root.Get("reference"))
	c.readDrills(root.Get("drills"))
	c.slots()
	c.compileFormulas()
	c.declareFaults(root.Get("faults"), root.Get("outcomes"))
	for i := range c.r.Faults {
		c.fault(i)
	}
	c.pairs(root.Get("either_way"))
	c.network(root)
	c.examples(root)
	if !place.Failed(c.problems) { // what a slip leaves out would look unused
		c.finishFaults()
		c.exampleWarnings(root)
		c.unused(root)
	}
}

// header reads what stands at the top of the file.
func (c *compiler) header(root *shape.Node) {
	c.r.Name, c.r.Title, c.r.Skill = root.Get("rubric").String(), root.Get("title").String(), root.Get("skill").String()
	c.r.Cutoff = c.cutoff(root.Get("cutoff"))
	decide := root.Get("decide")
	c.r.FaultAt, c.r.SoundAt = decide.Get("fault_at").Float(0.80), decide.Get("sound_at").Float(0.20)
	if decide != nil && c.r.SoundAt >= c.r.FaultAt {
		c.report(decide.Problem("decide-order", number(c.r.SoundAt)+" for sound_at and "+number(c.r.FaultAt)+" for fault_at", "sound_at below fault_at", ""))
	}
	c.r.WorkOn = root.Get("work_on").Int(3)
	c.r.UnexplainedU = root.Get("unexplained_u").Float(0.05)
}

// daysIn holds the days of each month; 29 February is a day of some years only
// and cannot be a cut-off.
var daysIn = [13]int{0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

func (c *compiler) cutoff(n *shape.Node) MonthDay {
	if n == nil {
		return MonthDay{4, 30}
	}
	digits := func(at int) int { return int(n.Text[at]-'0')*10 + int(n.Text[at+1]-'0') }
	day := MonthDay{digits(0), digits(3)}
	if day.Day > daysIn[day.Month] {
		c.report(n.Problem("no-such-day", "the day "+n.Text, "a day that every year has, as MM-DD", ""))
	}
	return day
}

// sources loads a rubric and the ones it extends.
type sources struct {
	others   func(string) ([]byte, bool)
	problems []place.Problem
	path     []string // names of the rubrics being extended
}

// mostExtends is how many rubrics may build on each other.
const mostExtends = 8

// load gives the document with what it extends merged in, and the digest of
// its bytes: of the file alone, or followed by the files it extends.
func (s *sources) load(file string, src []byte) (*shape.Node, string) {
	digest := sha256.New()
	root := s.read(file, src, func(b []byte) { digest.Write(b) })
	return root, hex.EncodeToString(digest.Sum(nil))
}

func (s *sources) read(file string, src []byte, add func([]byte)) *shape.Node {
	add(src)
	root, problems := shape.Read(file, src)
	s.problems = append(s.problems, problems...)
	if root == nil || !root.Has("extends") {
		return root
	}
	s.problems = append(s.problems, table.CheckPart(root)...)
	name := root.Get("extends")
	if root.Get("rubric") == nil && !root.Has("rubric") {
		s.problems = append(s.problems, root.Problem("missing-key", `no key "rubric" in the document`, rubricName.What, "a rubric that extends another has a name of its own"))
	}
	s.path = append(s.path, root.Get("rubric").String())
	base := s.base(name, add)
	if base == nil {
		return nil
	}
	merged, problems := shape.Merge(base, root)
	s.problems = append(s.problems, problems...)
	return merged
}

// base reads the rubric that a document extends, nil if it cannot be had.
func (s *sources) base(name *shape.Node, add func([]byte)) *shape.Node {
	if name == nil {
		return nil
	}
	if slices.Contains(s.path, name.Text) || len(s.path) > mostExtends {
		s.problems = append(s.problems, name.Problem("extends-cycle", "a circle: "+arrows(append(s.path, name.Text)), "a rubric that does not extend itself", ""))
		return nil
	}
	src, ok := []byte(nil), false
	if s.others != nil {
		src, ok = s.others(name.Text)
	}
	if !ok {
		s.problems = append(s.problems, name.Problem("unknown-rubric", "the rubric "+quote(name.Text), "a rubric of the same folder", ""))
		return nil
	}
	return s.read(name.Text+".yaml", src, add)
}

// sortedKeys lists a map's keys in order, so that nothing depends on its own.
func sortedKeys(m map[string]int) []string { return slices.Sorted(maps.Keys(m)) }

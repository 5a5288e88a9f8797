package report

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"rootcue/engine"
	"rootcue/engine/workload"
	"rootcue/internal/report/htmltest"
)

// family is the family part of a page in one line.
func family(t *testing.T, in Input) string {
	t.Helper()
	return strings.Join(familyPart(t, written(t, in)), "\n")
}

// page is all text of a page.
func pageText(t *testing.T, in Input) string {
	t.Helper()
	return htmltest.Outline(t, written(t, in))
}

// inOrder checks that parts follow each other.
func inOrder(t *testing.T, text string, parts ...string) {
	t.Helper()
	at := 0
	for _, p := range parts {
		i := strings.Index(text[at:], p)
		if i < 0 {
			t.Errorf("%q is missing or out of order", p)
			return
		}
		at += i + len(p)
	}
}

func TestOrderOfThePage(t *testing.T) {
	all := demos(t)
	inOrder(t, pageText(t, all["full"]), "What is good", "What to work on", "What starts what", "The clock", "What changed", "What we look at next", "All numbers", "Take care")
	inOrder(t, pageText(t, all["stopped"]), "Stop first", "Pain was reported", "What is good", "No corrections while a stop holds.", "All numbers", "Take care", "Pain was reported")
	if text := family(t, all["stopped"]); strings.Contains(text, "What starts what") || strings.Contains(text, "Drill") {
		t.Error("a stop leaves corrections on the page")
	}
	if text := pageText(t, all["full"]); strings.Contains(text, "Stop first") {
		t.Error("a stop without one")
	}
}

// TestAtMostThree: three things to work on at most, though a rubric hands out more.
func TestAtMostThree(t *testing.T) {
	in := demos(t)["full"]
	a := *in.Assessment
	a.WorkOn = append(append([]engine.WorkOn{}, a.WorkOn...), a.WorkOn...)
	in.Assessment = &a
	if n := strings.Count(string(written(t, in)), "<article"); n != 3 {
		t.Errorf("%d things to work on", n)
	}
}

// TestChanceOfAnOut: for instructors, and on no page of a player under 11.
func TestChanceOfAnOut(t *testing.T) {
	known := func(age int) *engine.Assessment {
		a := thrower(t, age, 5, fumbler)
		for i := range a.WorkOn {
			a.WorkOn[i].ChanceOutBefore, a.WorkOn[i].ChanceOutAfter = 0.31, 0.45
		}
		return a
	}
	for _, c := range []struct {
		age    int
		family bool
		want   bool
	}{{10, false, false}, {10, true, false}, {11, false, true}, {11, true, false}, {16, false, true}} {
		text := pageText(t, Input{Assessment: known(c.age), ForFamily: c.family})
		if got := strings.Contains(text, "chance of an out 31 to 45 %"); got != c.want {
			t.Errorf("age %d, for the family %v: chance of an out shown %v", c.age, c.family, got)
		}
		if !c.want && strings.Contains(text, "chance of an out") {
			t.Errorf("age %d: an out is spoken of", c.age)
		}
	}
}

// TestNoRanksNoOthers: growth and bands only.
func TestNoRanksNoOthers(t *testing.T) {
	for name, in := range demos(t) {
		text := strings.ToLower(pageText(t, in))
		for _, never := range []string{"rank", "percentile", "percentil", "better than", "other players", "team average", "puesto"} {
			if strings.Contains(text, never) {
				t.Errorf("%s says %q", name, never)
			}
		}
	}
}

// TestOneProbabilityAFinding: in the family part, a thing to work on has one
// chance.
func TestOneProbabilityAFinding(t *testing.T) {
	for name, in := range demos(t) {
		if in.Lang == "es" {
			continue
		}
		text := family(t, in)
		if n, work := strings.Count(text, " in 100."), strings.Count(string(written(t, in)), "<article"); n != work || strings.Contains(text, "%") {
			t.Errorf("%s: %d chances for %d things to work on", name, n, work)
		}
	}
}

func TestHowSure(t *testing.T) {
	in := demos(t)["full"]
	for chance, want := range map[engine.Number]string{
		0.997: "Almost sure: more than 99 in 100.", 0.96: "Very sure: about 96 in 100.", 0.85: "Quite sure: about 85 in 100.", 0.99: "Very sure: about 99 in 100.",
	} {
		a := *in.Assessment
		a.Findings = append([]engine.Finding{}, a.Findings...)
		for i := range a.Findings {
			if a.Findings[i].Fault == "fumbled-change" {
				a.Findings[i].Chance = &chance
			}
		}
		if text := family(t, Input{Assessment: &a}); !strings.Contains(text, want+" Seen in 5 of 5 tries.") {
			t.Errorf("%v: %q is missing", chance, want)
		}
	}
	close := thrower(t, 12, 4, map[string]any{"stride_off_line": 12})
	if text := family(t, Input{Assessment: close}); !strings.Contains(text, "A close call: about 50 in 100. Seen in 0 of 4 tries.") {
		t.Error("a close call is not called one")
	}
}

// TestReview: what the instructor changed is seen as such, and what was set
// aside is handed out nowhere.
func TestReview(t *testing.T) {
	in := demos(t)["reviewed"]
	text := family(t, in)
	inOrder(t, text, "Draft.", "Good work all spring.", "Set aside by the instructor: The stride leaves the line. Reason: The batter's box was wet that day.",
		"1. Soft glove, then grab", "changed by the instructor.", "The first one was: Let the ball settle in the pocket then take it")
	for _, gone := range []string{"Land on the chalk", "Chalk line feet"} {
		if strings.Contains(text, gone) {
			t.Errorf("%q was set aside and is still there", gone)
		}
	}
	if strings.Contains(text, "The stride leaves the line:") {
		t.Error("the clock names what was set aside")
	}
	inOrder(t, pageText(t, in), "Findings", "The stride leaves the line", "Set aside by the instructor", "Verdict", `"fault"`)

	in.ForFamily = true
	if strings.Contains(family(t, in), "Draft.") {
		t.Error("a family sees the draft banner")
	}
	in.ForFamily, in.Review = false, &Review{Released: true}
	if text := family(t, in); strings.Contains(text, "Draft.") || strings.Contains(text, "From the instructor") {
		t.Error("a released review without words still shows")
	}
}

// TestSetAsideTakesTheSumAway: the exchange with all corrections above holds no
// longer once one of those was set aside.
func TestSetAsideTakesTheSumAway(t *testing.T) {
	in := demos(t)["full"]
	in.Review = &Review{SetAside: []SetAside{{"fumbled-change", "new glove"}}}
	if text := family(t, in); strings.Contains(text, "With this and all above it") || !strings.Contains(text, "1. Feet and hands on one count") {
		t.Error("times count a correction that was set aside")
	}
}

// TestSince: each measure with its trend, the change in words, and a new age
// group that does not read as worse.
func TestSince(t *testing.T) {
	in := demos(t)["full"]
	in.Since.BandChanged = true
	inOrder(t, family(t, in), "What changed", "A new limit is not a step back.",
		"Stride off the line to the target: from 22.0 ± 1.6° to 17.0 ± 1.4°. Better. The change is real. A change counts as real from 4.2°.",
		"Hip height in the set: from 48 ± 3 cm to 45 ± 3 cm. No real change yet. A change counts as real from 9 cm.",
		"Exchange, catch to release: from 1.20 ± 0.02 s to 1.30 ± 0.02 s. Not as good as before.")
	in.Since = &Since{Rows: []Row{{Measure: "x", Points: []Point{{"2026-05-09", 1, 0}}}}}
	if strings.Contains(family(t, in), "What changed") {
		t.Error("one session is no change")
	}
}

// TestEverythingIsEscaped: texts of users are shown as text wherever they come
// from.
func TestEverythingIsEscaped(t *testing.T) {
	const evil = `"'></style></title></svg><script>alert(1)</script><img src=x onerror=alert(2)>`
	in := demos(t)["reviewed"]
	b, err := json.Marshal(in.Assessment.WorkOn)
	if err != nil {
		t.Fatal(err)
	}
	a := *in.Assessment
	a.WorkOn = nil
	if err := json.Unmarshal(b, &a.WorkOn); err != nil {
		t.Fatal(err)
	}
	a.Findings, a.Chains = append([]engine.Finding{}, a.Findings...), append([]engine.Chain{}, a.Chains...)
	a.Player.Ref, a.Player.Band, a.On, a.Rubric.Name = evil, evil, evil, evil
	for i := range a.Findings {
		a.Findings[i].Title, a.Findings[i].Why.Rule, a.Findings[i].Why.Source, a.Findings[i].Why.Clips = evil, evil, evil, []string{evil}
	}
	for i := range a.Chains {
		a.Chains[i].Links = append([]engine.ChainLink{}, a.Chains[i].Links...)
		for k := range a.Chains[i].Links {
			a.Chains[i].Links[k].Because = evil
		}
	}
	for i := range a.WorkOn {
		a.WorkOn[i].Cue = evil
		for k := range a.WorkOn[i].Drills {
			d := &a.WorkOn[i].Drills[k]
			d.Title, d.How, d.Dose = evil, evil, evil
		}
	}
	a.Keep, a.Undecided = []engine.Keep{{Item: "x", Says: evil}}, []engine.Undecided{{Pair: [2]string{evil, evil}, SettleBy: evil}}
	a.LookNext, a.Cautions = []engine.LookNext{{Fault: evil, Measure: evil, Says: evil}}, []workload.Caution{{Code: evil, Level: workload.Stop, Says: evil, Source: evil}}
	in.Assessment, in.Rubric, in.Club.Name = &a, nil, evil
	in.Review = &Review{Note: evil, SetAside: []SetAside{{"late-feet", evil}}, Cues: []SwappedCue{{"fumbled-change", evil}}}
	in.Since = &Since{Rows: []Row{{Measure: evil, Unit: evil, Points: []Point{{evil, 1, 0}, {evil, 2, 0}}}}}
	for _, lang := range Languages() {
		in.Lang = lang
		page := string(written(t, in))
		if strings.Contains(page, "<script") || strings.Contains(page, "<img") || strings.Count(page, "</style>") != 1 {
			t.Errorf("%s: markup of a user stands in the page", lang)
		}
		if n := strings.Count(page, "alert(1)"); n < 40 {
			t.Errorf("%s: only %d of the texts are shown", lang, n)
		}
		for _, w := range htmltest.Nesting([]byte(page)) {
			t.Error(w)
		}
	}
}

// TestPageAlone is what the command line writes: the page of the assessment
// with nothing beside it.
func TestPageAlone(t *testing.T) {
	a := thrower(t, 12, 5, fumbler)
	var b strings.Builder
	if err := Page(&b, a); err != nil {
		t.Fatal(err)
	}
	if b.String() != string(written(t, Input{Assessment: a})) {
		t.Error("Page and Write differ")
	}
	inOrder(t, b.String(), `<html lang="en">`, "throw-to-second: report for P-0733", "stride off line: seen and wanted")
}

// TestLanguageOfParts: on a Spanish page the rubric's words and the engine's
// say that they are English (WCAG 2.2, 3.1.2); on an English one nothing does.
func TestLanguageOfParts(t *testing.T) {
	all := demos(t)
	spanish, english := string(written(t, all["spanish"])), string(written(t, all["full"]))
	for _, want := range []string{`<html lang="es">`, `<li><span lang="en">You set up low and ready</span></li>`, `<h2 id="good">Lo que está bien</h2>`} {
		if !strings.Contains(spanish, want) {
			t.Errorf("no %s", want)
		}
	}
	if strings.Contains(english, `<span lang=`) {
		t.Error("English is marked on an English page")
	}
	in := all["spanish"]
	in.RubricLang = "es"
	if strings.Contains(string(written(t, in)), `<span lang="en">You set up`) {
		t.Error("a Spanish rubric is marked as English")
	}
}

// TestSafetyAndArm: what the rubric says a fault bears on is told, an arm load
// as a coach's view.
func TestSafetyAndArm(t *testing.T) {
	text := family(t, demos(t)["blocking"])
	inOrder(t, text, "Hide the hand", "It can hurt the player.", "A safer catcher.")
	folded := thrower(t, 14, 6, map[string]any{"drawback": 0.01})
	for i := range folded.Chains {
		folded.Chains[i].Links = nil
	}
	inOrder(t, family(t, Input{Assessment: folded, Rubric: parsed(t, "throw-to-second")}), "Open the arm", "a coach's view and not a medical finding")
}

// TestUnknownNumbers: no stature, no clock, no uncertainty.
func TestUnknownNumbers(t *testing.T) {
	a := thrower(t, 12, 3, map[string]any{"hip_height_set": 0.44})
	a.Player.StatureM = engine.Number(math.NaN())
	text := pageText(t, Input{Assessment: a})
	inOrder(t, text, "seen 44 ± 2 % of standing height", "wanted: at most 37 % of standing height")
	if strings.Contains(text, "NaN") || strings.Contains(text, "The clock") {
		t.Error("an unknown number is shown")
	}
}

// TestCautions: plain words first; what they leave out follows in the engine's
// own; a code without plain words is told in the engine's; no cause is guessed.
func TestCautions(t *testing.T) {
	for _, c := range []struct{ code, lang, want string }{
		{"tired", "en", "Watch. The player was tired. No more throws that day. SAYS Source: SRC"},
		{"workload-rest", "en", "Watch. A rule on arm workload applies. SAYS Source: SRC"},
		{"caution-applies", "en", "Watch. A caution applies. Ask the instructor before any throwing or catching. Source: SRC"},
		{"new-code", "en", "Watch. SAYS Source: SRC"},
		{"tired", "es", "Atención. El jugador estaba cansado. No más lanzamientos ese día. SAYS Fuente: SRC"},
		{"new-code", "es", "Atención. SAYS Fuente: SRC"},
	} {
		a := thrower(t, 12, 4, nil)
		a.Cautions = []workload.Caution{{Code: c.code, Level: workload.Watch, Says: "SAYS", Source: "SRC"}}
		if text := family(t, Input{Assessment: a, Lang: c.lang}); !strings.Contains(text, "\n"+c.want+"\n") {
			t.Errorf("%s in %s: %q is missing", c.code, c.lang, c.want)
		}
	}
}

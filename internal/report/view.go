package report

import (
	"cmp"
	"html/template"
	"strings"

	"rootcue/engine"
	"rootcue/engine/workload"
	"rootcue/internal/report/picture"
)

// A view turns an input into what the page's template shows.
type view struct {
	in     Input
	a      *engine.Assessment
	say    words
	aside  map[string]string // reason by fault set aside
	cues   map[string]string // the instructor's cue by fault
	drawn  int               // drawings so far; numbers their ids
	drills map[string]int    // item in which a drill was first told
}

func newView(in Input) (*view, error) {
	say, err := wordsOf(in.Lang)
	if err != nil {
		return nil, err
	}
	if in.RubricLang == "" {
		in.RubricLang = "en"
	}
	v := &view{in: in, a: in.Assessment, say: say, aside: map[string]string{}, cues: map[string]string{}, drills: map[string]int{}}
	if in.Review != nil {
		for _, s := range in.Review.SetAside {
			v.aside[s.Fault] = s.Reason
		}
		for _, c := range in.Review.Cues {
			v.cues[c.Fault] = c.Cue
		}
	}
	return v, nil
}

// A page is what the template shows, in the order in which it is read.
type page struct {
	Lang, Title string
	Policy      string
	CSS         template.CSS
	Say         words
	Others      []words // further languages that the page leads to
	Head        []labelled
	Draft       bool
	Stops       []cautionShown
	Good        goodShown
	Review      *reviewShown
	Work        []workShown
	NoWork      string
	Chains      []chainShown
	Clock       *clockShown
	Since       *sinceShown
	Open        []template.HTML
	Fold        foldShown
	Cautions    []cautionShown
	Advice      []string
}

// labelled is a value under its label.
type labelled struct {
	Label string
	Value template.HTML
}

// drawing is a picture with its texts for those who cannot see it.
type drawing struct {
	picture.Drawing
	ID, Title, Desc string
}

func (v *view) draw(d picture.Drawing, title, desc string) *drawing {
	v.drawn++
	return &drawing{d, "picture-" + number(v.drawn), title, desc}
}

func (v *view) page() *page {
	p := &page{Lang: string(v.say), Say: v.say, CSS: template.CSS(pageCSS), Policy: ContentSecurityPolicy}
	p.Title = v.say.say("title.of", "skill", v.skill(), "ref", v.a.Player.Ref)
	if v.in.Switch {
		p.Others = v.say.others()
	}
	p.Head = v.head()
	p.Draft = v.in.Review != nil && !v.in.Review.Released && !v.in.ForFamily
	p.Stops = v.cautions(true)
	p.Good = v.good()
	p.Review = v.review()
	p.Work = v.work()
	stopped := len(p.Stops) > 0 && len(p.Work) == 0
	if len(p.Work) == 0 {
		p.NoWork = v.say.say(map[bool]string{true: "work.stopped", false: "work.none"}[stopped])
	}
	if !stopped {
		p.Chains, p.Clock, p.Open = v.chains(p.Work), v.clock(), v.open()
	}
	p.Since = v.since()
	p.Fold = v.fold()
	p.Cautions, p.Advice = v.cautions(false), v.say.advice()
	return p
}

// skill is the rubric's title, else its name.
func (v *view) skill() string {
	if v.in.Rubric != nil {
		return v.in.Rubric.Title
	}
	return v.a.Rubric.Name
}

func (v *view) head() []labelled {
	list := []labelled{
		{v.say.say("head.day"), v.html("{x}", "x", v.a.On)},
		{v.say.say("head.group"), v.html("{x}", "x", v.a.Player.Band)},
		{v.say.say("head.throws"), v.html("{x}", "x", number(v.a.Reps))},
	}
	if v.in.Club.Name != "" {
		list = append(list, labelled{v.say.say("head.club"), v.html("{x}", "x", v.in.Club.Name)})
	}
	return list
}

// foreign is a text in the rubric's language, english one in the engine's.
type (
	foreign string
	english string
)

// html fills a text, the catalogue's by its key or one given outright, and
// escapes what goes in; a part in another language than the page's says so.
func (v *view) html(key string, pairs ...any) template.HTML {
	source := key
	if v.say.has(key) {
		source = v.say.say(key)
	}
	filled := make([]string, 0, len(pairs))
	for i := 0; i < len(pairs); i += 2 {
		filled = append(filled, "{"+pairs[i].(string)+"}", v.escaped(pairs[i+1]))
	}
	return template.HTML(strings.NewReplacer(filled...).Replace(template.HTMLEscapeString(source)))
}

func (v *view) escaped(part any) string {
	text, lang := "", string(v.say)
	switch p := part.(type) {
	case string:
		text = p
	case foreign:
		text, lang = string(p), v.in.RubricLang
	case english:
		text, lang = string(p), "en"
	}
	text = template.HTMLEscapeString(text)
	if lang == string(v.say) || text == "" {
		return text
	}
	return `<span lang="` + template.HTMLEscapeString(lang) + `">` + text + `</span>`
}

// inRubric is a text of the rubric, standing alone.
func (v *view) inRubric(text string) template.HTML { return v.html("{x}", "x", foreign(text)) }

// finding is the finding on a fault; nil if there is none.
func (v *view) finding(fault string) *engine.Finding {
	for i := range v.a.Findings {
		if v.a.Findings[i].Fault == fault {
			return &v.a.Findings[i]
		}
	}
	return nil
}

// title is a fault's title.
func (v *view) title(fault string) string {
	if f := v.finding(fault); f != nil {
		return f.Title
	}
	return fault
}

// measureTitle is a measure's title in the rubric, else its name in words.
func (v *view) measureTitle(name string) string {
	return cmp.Or(v.knownMeasure(name), strings.ReplaceAll(name, "_", " "))
}

// knownMeasure is the rubric's title of a measure, "" for any other name.
func (v *view) knownMeasure(name string) string {
	if v.in.Rubric != nil {
		return v.in.Rubric.TitleOf(name)
	}
	return ""
}

// stopsSomething reports a caution of the hardest level.
func stopsSomething(c workload.Caution) bool { return c.Level == workload.Stop }

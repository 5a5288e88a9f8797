package api

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"rootcue/engine/rubric"
	"rootcue/engine/workload"
	"rootcue/internal/club"
	"rootcue/internal/report"
	"rootcue/internal/report/pages"
)

func (s *Server) groupPages() {
	s.page("GET", "/groups", Edit, (*visit).groups)
	s.page("GET", "/groups/:name/plan", Edit, (*visit).groupPlan)
}

// groups lists the groups of the club.
func (v *visit) groups() error {
	list, err := v.s.Clubs.Groups(v.Request.Context(), v.actor(), "", mostGroups)
	if err != nil {
		return err
	}
	d := pages.Groups{More: list.Next != ""}
	for _, g := range list.Items {
		d.Groups = append(d.Groups, pages.GroupLine{Name: g.Name, Members: len(g.Players)})
	}
	return v.write("groups", "", "", d)
}

// mostGroups is how many groups one page lists.
const mostGroups = 200

// groupPlan asks how a practice is to be, and plans it once that is told.
func (v *visit) groupPlan() error {
	ctx, name := v.Request.Context(), v.Param("name")
	group, err := v.s.Clubs.Group(ctx, v.actor(), name)
	if err != nil {
		return err
	}
	rubrics, err := v.s.Clubs.Rubrics(ctx, v.actor())
	if err != nil {
		return err
	}
	d := pages.Group{Name: group.Name}
	asked, problem := v.practiceForm(&d.Form)
	d.Form.Stations = stationChoices(rubrics, v.QueryArray("station"))
	if v.Query("minutes") == "" {
		if d.Form.On, err = v.day("on"); err != nil {
			return err
		}
		return v.write("group", name, "paper.js", d)
	}
	if problem == nil {
		var plan club.GroupPlan
		if plan, err = v.s.Clubs.PlanGroup(ctx, v.actor(), name, asked); err == nil {
			v.showPlan(&d, plan, rubrics)
			return v.write("group", name, "paper.js", d)
		}
		if problem = failed(err); problem.Status != NotValid.Status {
			return problem
		}
	}
	d.Problem = inWords(problem)
	v.Status(problem.Status)
	return v.write("group", name, "paper.js", d)
}

// practiceForm reads the form; without one it holds what a practice is often
// like.
func (v *visit) practiceForm(f *pages.PracticeForm) (club.PracticeAsked, *Problem) {
	*f = pages.PracticeForm{On: v.Query("on"), Start: "17:00", Minutes: 60, Turn: 12, Helpers: 1}
	var slips []Slip
	for _, n := range []struct {
		name string
		into *int
	}{{"minutes", &f.Minutes}, {"turn", &f.Turn}, {"helpers", &f.Helpers}} {
		text := v.Query(n.name)
		if text == "" {
			continue
		}
		number, err := strconv.Atoi(text)
		if err != nil {
			slips = append(slips, Slip{Code: "bad-number", Parameter: "query." + n.name, Found: strconv.Quote(text), Wanted: "a whole number"})
			continue
		}
		*n.into = number
	}
	if start := v.Query("start"); start != "" {
		if _, err := time.Parse("15:04", start); err != nil {
			slips = append(slips, Slip{Code: "bad-time", Parameter: "query.start", Found: strconv.Quote(start), Wanted: "a time such as 17:30"})
		} else {
			f.Start = start
		}
	}
	asked := club.PracticeAsked{On: f.On, Practice: club.PracticeTime{Minutes: f.Minutes, Turn: f.Turn, Helpers: f.Helpers}}
	for _, drill := range v.QueryArray("station") {
		asked.Stations = append(asked.Stations, club.StationAsked{Drill: drill})
	}
	if len(slips) > 0 {
		p := NotValid.Say("the practice cannot be planned")
		p.Errors = slips
		return asked, p
	}
	return asked, nil
}

// inWords is a problem with all its slips in one text.
func inWords(p *Problem) string {
	parts := []string{p.Detail}
	for _, s := range p.Errors {
		parts = append(parts, strings.TrimSpace(s.Parameter+s.Pointer+": found "+s.Found+", wanted "+s.Wanted+". "+s.Hint))
	}
	return strings.Join(parts, " ")
}

// drills are those of the rubrics, each once.
func drills(rubrics []*club.Version) (list []rubric.Drill) {
	for _, r := range rubrics {
		for _, d := range r.Rubric.Drills {
			if !slices.ContainsFunc(list, func(k rubric.Drill) bool { return k.Name == d.Name }) {
				list = append(list, d)
			}
		}
	}
	return list
}

func stationChoices(rubrics []*club.Version, chosen []string) (list []pages.StationChoice) {
	for _, d := range drills(rubrics) {
		list = append(list, pages.StationChoice{Drill: d.Name, Title: d.Title, Chosen: slices.Contains(chosen, d.Name), Places: d.Places, Throws: d.Throws, Helper: d.Helper})
	}
	slices.SortFunc(list, func(a, b pages.StationChoice) int { return strings.Compare(a.Title, b.Title) })
	return list
}

// showPlan puts a plan on the page, with what it rests on and what to take care
// of.
func (v *visit) showPlan(d *pages.Group, plan club.GroupPlan, rubrics []*club.Version) {
	d.Day = plan.On.String()
	d.Form.On = d.Day
	known := drills(rubrics)
	for _, s := range plan.Stations {
		shown := pages.GroupStation{StationChoice: pages.StationChoice{Drill: s.Drill, Title: s.Title, Places: s.Places, Throws: s.Throws, Helper: s.Helper}, Dose: s.Dose}
		if i := slices.IndexFunc(known, func(k rubric.Drill) bool { return k.Name == s.Drill }); i >= 0 {
			shown.How, shown.Kit = known[i].How, known[i].Kit
		}
		d.Stations = append(d.Stations, shown)
	}
	for _, k := range known { // titles of drills that the plan does without
		if !slices.ContainsFunc(plan.Stations, func(s club.GroupStation) bool { return s.Drill == k.Name }) {
			d.Titles = append(d.Titles, pages.Titled{Name: k.Name, Title: k.Title})
		}
	}
	d.Show(plan.Plan)
	for _, s := range plan.Shared {
		d.Shared = append(d.Shared, pages.SharedRoot{Title: s.Title, Drills: d.Named(s.Drills), Players: s.Players})
	}
	for _, m := range plan.Members {
		d.Rests(groupMember(m, rubrics))
		if cautions := v.cautions(m.Cautions); len(cautions) > 0 {
			d.Cautions = append(d.Cautions, pages.MemberCautions{Ref: m.Ref, Cautions: cautions})
		}
	}
	hardest := func(m pages.MemberCautions) int { return slices.Index(levels, m.Cautions[0].Level) }
	slices.SortStableFunc(d.Cautions, func(a, b pages.MemberCautions) int { return hardest(a) - hardest(b) })
	d.Everybody, d.Advice = v.cautions(plan.Cautions), report.Advice(v.lang)
}

// levels of cautions, the hardest first.
var levels = []string{string(workload.Stop), string(workload.Limit), string(workload.Watch), string(workload.Note)}

// groupMember is what one player's part rests on.
func groupMember(m club.GroupMember, rubrics []*club.Version) pages.Member {
	out := pages.Member{Ref: m.Ref}
	if m.ThrowsLeft != nil {
		out.Left = strconv.Itoa(*m.ThrowsLeft)
	}
	for _, s := range m.Seen {
		title := s.Rubric
		if i := slices.IndexFunc(rubrics, func(r *club.Version) bool { return r.Name == s.Rubric }); i >= 0 {
			title = rubrics[i].Rubric.Title
		}
		out.Seen = append(out.Seen, pages.Assessment{ID: s.Assessment, Title: title, On: s.On})
	}
	for _, n := range m.Notes {
		out.Notes = append(out.Notes, n.Says)
	}
	return out
}

func (v *visit) cautions(list []workload.Caution) (shown []pages.Caution) {
	for _, c := range list {
		lead, says := report.PlainCaution(v.lang, c)
		shown = append(shown, pages.Caution{Level: string(c.Level), Lead: lead, Says: says})
	}
	return shown
}

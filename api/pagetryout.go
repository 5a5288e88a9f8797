package api

import (
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"strconv"
	"time"

	"rootcue/internal/club"
	"rootcue/internal/report/pages"
	"rootcue/internal/store"
)

func (s *Server) tryoutPages() {
	s.page("GET", "/tryouts", Edit, (*visit).tryouts)
	s.page("GET", "/tryouts/new", Edit, (*visit).newTryout)
	s.page("GET", "/tryouts/:id", Edit, (*visit).board)
	s.page("GET", "/tryouts/:id/bibs/:bib", Edit, (*visit).bib)
}

// tryouts lists the tryouts of the club, newest first.
func (v *visit) tryouts() error {
	list, err := v.s.Clubs.Tryouts(v.Request.Context(), v.actor())
	var d pages.Tryouts
	for _, t := range list {
		d.Tryouts = append(d.Tryouts, pages.TryoutLine{ID: t.ID, Name: t.Settings.Name, Day: t.Settings.On, Closed: t.State == store.TryoutClosed})
	}
	if err != nil {
		return err
	}
	return v.write("tryouts", "", "", d)
}

// board shows a tryout to instructors. While nothing changes, a page that is
// kept up to date is answered without judging the panel again. The tag is of this
// session and of this program: another's page has another form and another menu.
func (v *visit) board() error {
	e, err := v.s.Clubs.Event(v.Request.Context(), v.actor(), v.Param("id"))
	if err != nil {
		return err
	}
	own := sha256.Sum256([]byte(v.session.CSRF + pages.Edition()))
	tag := `"` + e.Mark() + "-" + v.lang + "-" + base64.RawURLEncoding.EncodeToString(own[:6]) + `"`
	v.Header("ETag", tag)
	if SameTag(v.GetHeader("If-None-Match"), tag) {
		v.Status(http.StatusNotModified)
		return nil
	}
	d, _, err := v.boardOf(e)
	if err != nil {
		return err
	}
	d.Mark = tag
	return v.write("board", d.Name, "board.js", d)
}

// boardOf puts together what a tryout comes to.
func (v *visit) boardOf(e *club.Event) (d pages.Board, standing club.Standing, err error) {
	if standing, err = e.Standing(); err != nil {
		return d, standing, err
	}
	zone, err := v.zone()
	if err != nil {
		return d, standing, err
	}
	d = pages.Board{ID: e.ID, Name: e.Settings.Name, Closed: e.State == store.TryoutClosed, At: inMinutes(v.s.Now(), zone), Grades: standing.Grades, Best: standing.Best, Panel: e.Settings.Panel, Items: gradedItems(e.Tryout)}
	if err := besideStanding(e, zone, &d); err != nil {
		return d, standing, err
	}
	wanted := e.MissingLooks(1)
	standing.Looks = wanted.Plan
	d.Show(standing.Result)
	d.Missing = missingOf(wanted.Looks, &d)
	return d, standing, nil
}

// besideStanding adds the roster, recusals and decisions.
func besideStanding(e *club.Event, zone *time.Location, d *pages.Board) error {
	for _, p := range e.Roster {
		d.Roster = append(d.Roster, pages.Worn{Bib: p.Bib, Withdrawn: p.WithdrawnAt != nil})
		if p.WithdrawnAt == nil {
			d.Players++
		}
	}
	for _, r := range e.Recusals {
		d.Recusals = append(d.Recusals, pages.Recusal{Evaluator: r.Evaluator, Bib: r.Bib})
	}
	rulings, err := e.Rulings()
	if err != nil {
		return err
	}
	d.Undecided, d.Untold = rulings.Undecided, rulings.WithoutFeedback
	for _, r := range rulings.Items {
		d.Decisions = append(d.Decisions, pages.Decision{Bib: r.Bib, Code: codeOf(r.Ruling), Group: r.Group, Why: r.Why, Feedback: r.Feedback, At: inMinutes(r.At.Time, zone)})
	}
	return nil
}

// codeOf is how the pages name a ruling.
func codeOf(r club.Ruling) string {
	switch {
	case r.Kind == club.KindAppeal:
		return r.Outcome
	case r.Chosen != nil && *r.Chosen:
		return "chosen"
	}
	return "not-chosen"
}

// inMinutes is a time on the club's clock, to the minute.
func inMinutes(at time.Time, zone *time.Location) string {
	return at.In(zone).Format("2006-01-02 15:04")
}

// gradedItems are the items of a tryout as the pages name them.
func gradedItems(t club.Tryout) (list []pages.Graded) {
	for _, i := range t.Items {
		g := pages.Graded{Name: i.Item, Title: i.Title, Unit: i.Unit}
		if i.Kind != "quantity" {
			g.Unit = i.Kind
		} else if g.Unit == "" {
			g.Unit = "1"
		}
		if i.Weight != 0 {
			g.Weight = strconv.FormatFloat(i.Weight, 'g', 2, 64)
		}
		list = append(list, g)
	}
	return list
}

// fewItems is how many items are named before the others are counted.
const fewItems = 3

// missingOf gathers what is wanted by bib.
func missingOf(looks []club.MissingLook, d *pages.Board) (list []pages.Missing) {
	for _, l := range looks {
		if n := len(list); n == 0 || list[n-1].Bib != l.Bib {
			list = append(list, pages.Missing{Bib: l.Bib})
		}
		w := pages.Want{Has: l.Looks, Wants: l.Wanted, By: l.By, More: max(0, len(l.Items)-fewItems)}
		for _, item := range l.Items[:min(fewItems, len(l.Items))] {
			w.Items = append(w.Items, d.Title(item))
		}
		last := &list[len(list)-1]
		last.Wants = append(last.Wants, w)
	}
	return list
}

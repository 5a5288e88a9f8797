package club

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"time"
	_ "time/tzdata" // a club's zone is known wherever the program runs

	"rootcue/engine/civil"
	"rootcue/engine/place"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// Settings are what a club decides for itself.
type Settings struct {
	TimeZone string `json:"time_zone" doc:"The club's time zone, such as America/Chicago: it decides which day is today" example:"America/Chicago"`

	Policies     []string            `json:"policies" doc:"Names of the workload policies in force for every player"`
	TeamPolicies map[string][]string `json:"team_policies" doc:"Policies in force besides, by team or group"`

	ReviewFirst    bool     `json:"review_first" doc:"Report links and the family's webhook wait until an instructor has released the assessment"`
	FrameAncestors []string `json:"frame_ancestors" doc:"Origins of web pages that may embed a report, such as https://club.example"`

	WebOrigins []string `json:"web_origins" doc:"Origins of web pages that may call this server with a key of the club, such as https://club.example; a change holds within seconds"`

	KeepMonths int `json:"keep_months" minimum:"0" maximum:"600" doc:"Observations, ledger entries and cues older than so many months are deleted; 0 keeps them until someone erases them"`

	active map[string]*workload.Policy // looked up in this transaction
}

// standard is what holds in a club that has decided nothing: published pitch
// limits and the advice on throws a day, and an instructor's word first.
func standard() Settings {
	return Settings{
		TimeZone: "UTC", Policies: []string{"pitch-smart", "elementary-throws"}, TeamPolicies: map[string][]string{},
		ReviewFirst: true, FrameAncestors: []string{}, WebOrigins: []string{},
	}
}

// settingsOf reads a club's settings over the standard ones.
func settingsOf(ctx context.Context, tx store.Tx) (Settings, error) {
	row, err := tx.Club(ctx)
	if err != nil {
		return standard(), err
	}
	s, err := readSettings(row)
	s.active = map[string]*workload.Policy{}
	return s, err
}

func readSettings(row store.Club) (Settings, error) {
	s := standard()
	if len(row.Settings) == 0 {
		return s, nil
	}
	if err := json.Unmarshal(row.Settings, &s); err != nil {
		return s, fmt.Errorf("settings of club %s: %w", row.ID, err)
	}
	return s, nil
}

// Settings gives the club's settings.
func (c *Clubs) Settings(ctx context.Context, a Actor) (s Settings, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		s, err = settingsOf(ctx, tx)
		return err
	})
	return s, err
}

// PutSettings replaces the club's settings. base tells whether the caller built
// on what stands now; if not, the answer is ErrChanged.
func (c *Clubs) PutSettings(ctx context.Context, a Actor, s Settings, base func(Settings) bool) error {
	return c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil {
			return err
		}
		was, err := settingsOf(ctx, tx)
		if err != nil {
			return err
		}
		if !base(was) {
			return ErrChanged
		}
		if err := checkSettings(ctx, tx, s); err != nil {
			return err
		}
		b, err := json.Marshal(s)
		if err != nil {
			return err
		}
		if err := tx.PutSettings(ctx, b); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "club.settings-changed", "club/"+a.Club, s)
	})
}

// plainHost is a host as it stands in a header field: a semicolon or a comma in
// it would begin a directive or a policy of its own (CSP Level 3, 2.2.1).
var plainHost = regexp.MustCompile(`^[A-Za-z0-9.:\[\]*-]+$`)

// checkSettings tells every slip of settings at once.
func checkSettings(ctx context.Context, tx store.Tx, s Settings) error {
	var slips []place.Problem
	slip := func(code, pointer, found, wanted string) {
		slips = append(slips, place.Problem{Code: code, Pointer: pointer, Found: found, Wanted: wanted})
	}
	if _, err := time.LoadLocation(s.TimeZone); err != nil || s.TimeZone == "" || s.TimeZone == "Local" {
		slip("unknown-zone", "/time_zone", strconv.Quote(s.TimeZone), "a zone of the IANA time zone database, such as America/Chicago")
	}
	known, err := policyNames(ctx, tx)
	if err != nil {
		return err
	}
	check := func(names []string, pointer string) {
		for i, n := range names {
			if !slices.Contains(known, n) {
				slip("unknown-policy", fmt.Sprintf("%s/%d", pointer, i), strconv.Quote(n), place.List(known))
			}
		}
	}
	check(s.Policies, "/policies")
	for team, names := range s.TeamPolicies {
		check(names, "/team_policies/"+team)
	}
	origins := func(list []string, pointer string) {
		for i, origin := range list {
			if !goodOrigin(origin) {
				slip("bad-origin", fmt.Sprintf("%s/%d", pointer, i), strconv.Quote(origin), "an origin such as https://club.example, without a path")
			}
		}
	}
	origins(s.FrameAncestors, "/frame_ancestors")
	origins(s.WebOrigins, "/web_origins")
	if len(slips) > 0 {
		slices.SortFunc(slips, func(x, y place.Problem) int { return len(x.Pointer) - len(y.Pointer) })
		return &Refusal{slips}
	}
	return nil
}

// goodOrigin reports whether a text is an https origin and nothing more.
func goodOrigin(text string) bool {
	u, err := url.Parse(text)
	return err == nil && u.Scheme == "https" && "https://"+u.Host == text && plainHost.MatchString(u.Host)
}

// Origins lists, by the origin of web pages that may call, the ids of the clubs
// that say so.
func (c *Clubs) Origins(ctx context.Context) (map[string][]string, error) {
	clubs, err := c.Store.Clubs(ctx)
	of := map[string][]string{}
	for _, row := range clubs {
		s, err := readSettings(row)
		if err != nil {
			return nil, err
		}
		for _, origin := range s.WebOrigins {
			of[origin] = append(of[origin], row.ID)
		}
	}
	return of, err
}

// today is the club's own date: a day ends when it ends on the field.
func (s Settings) today(tx store.Tx) (civil.Date, error) {
	zone, err := time.LoadLocation(s.TimeZone)
	if err != nil {
		return civil.Date{}, errors.Join(errors.New("the club's time zone is not known any more"), err)
	}
	y, m, d := tx.Now().In(zone).Date()
	return civil.Date{Year: y, Month: int(m), Day: d}, nil
}

// todayOf is the date in the club's time zone, YYYY-MM-DD.
func todayOf(ctx context.Context, tx store.Tx) (string, error) {
	s, err := settingsOf(ctx, tx)
	if err != nil {
		return "", err
	}
	d, err := s.today(tx)
	return d.String(), err
}

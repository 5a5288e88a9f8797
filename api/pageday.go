package api

import (
	"time"

	"rootcue/engine/civil"
	"rootcue/internal/club"
)

// actor is who visits, as the use cases want to know it.
func (v *visit) actor() club.Actor { return actor(v.Request.Context()) }

// zone is where the club is.
func (v *visit) zone() (*time.Location, error) {
	settings, err := v.s.Clubs.Settings(v.Request.Context(), v.actor())
	if err != nil {
		return time.UTC, err
	}
	return time.LoadLocation(settings.TimeZone)
}

// today is the club's own date.
func (v *visit) today() (string, error) {
	zone, err := v.zone()
	if err != nil {
		return "", err
	}
	return v.s.Now().In(zone).Format(time.DateOnly), nil
}

// day is a date of the query, today without one.
func (v *visit) day(name string) (string, error) {
	asked := v.Query(name)
	if asked == "" {
		return v.today()
	}
	if _, err := civil.Parse(asked); err != nil {
		return "", NotValid.At(Slip{Code: "bad-date", Parameter: "query." + name, Found: asked, Wanted: "a date such as 2026-05-09"})
	}
	return asked, nil
}

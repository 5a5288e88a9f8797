package club

import (
	"context"
	"errors"

	"github.com/go-json-experiment/json"

	"rootcue/engine/civil"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// ageOf is how old a player is on a day, as far as anything tells: the month of
// birth, the age as stated for a season, or the age of the latest assessment.
// An age of -1 says that nothing does.
func ageOf(ctx context.Context, tx store.Tx, p store.Player, on civil.Date) (workload.Player, error) {
	if p.Born != nil {
		b, err := civil.ParseBirth(*p.Born)
		return workload.Player{Age: -1, Born: b}, err
	}
	if p.Age != nil && p.AgeOn != nil {
		return aged(*p.Age, *p.AgeOn, on)
	}
	rows, err := tx.Assessments(ctx, store.AssessmentFilter{Player: p.Ref}, store.Page{Limit: 1})
	if err != nil || len(rows) == 0 {
		return workload.Player{Age: -1}, err
	}
	var seen struct {
		Player struct{ Age int }
	}
	if err := json.Unmarshal(rows[0].Body, &seen, json.MatchCaseInsensitiveNames(true)); err != nil {
		return workload.Player{Age: -1}, err
	}
	return aged(seen.Player.Age, rows[0].On, on)
}

// aged moves an age on by the seasons since it was stated.
func aged(age int, stated string, on civil.Date) (workload.Player, error) {
	d, err := civil.Parse(stated)
	if err != nil {
		return workload.Player{Age: -1}, err
	}
	return workload.Player{Age: age + civil.SeasonYear(on) - civil.SeasonYear(d)}, nil
}

func isNotFound(err error) bool { return errors.Is(err, store.ErrNotFound) }

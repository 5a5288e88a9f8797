package club

import (
	"bytes"
	"context"
	"errors"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

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
	age, err := ageIn(rows[0].Body)
	if err != nil {
		return workload.Player{Age: -1}, err
	}
	return aged(age, rows[0].On, on)
}

// ageIn reads the age out of an assessment, and no more: it stands near the
// beginning of much.
func ageIn(body []byte) (age int, err error) {
	d := jsontext.NewDecoder(bytes.NewReader(body))
	for {
		name, err := d.ReadToken()
		if err != nil {
			return 0, err
		}
		if d.StackDepth() != 1 || name.Kind() != '"' {
			continue
		}
		if name.String() != "player" {
			if err := d.SkipValue(); err != nil {
				return 0, err
			}
			continue
		}
		var player struct {
			Age int `json:"age"`
		}
		err = json.UnmarshalDecode(d, &player)
		return player.Age, err
	}
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

package practice

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// An Assessment is what a plan takes from an assessment document; its other
// keys do not matter here.
type Assessment struct {
	Cautions []struct {
		Level string   `json:"level"`
		Stops []string `json:"stops"`
	} `json:"cautions"`
	Findings []struct {
		Fault  string  `json:"fault"`
		Chance float64 `json:"chance"`
	} `json:"findings"`
	Chains []struct {
		Root     string  `json:"root"`
		Recovers float64 `json:"recovers_s"`
	} `json:"chains"`
	WorkOn []struct {
		Fault  string `json:"fault"`
		Drills []struct {
			Drill string `json:"drill"`
		} `json:"drills"`
	} `json:"work_on"`
}

// ReadAssessment reads an assessment document. The error says what stands there
// instead.
func ReadAssessment(data []byte) (Assessment, error) {
	var doc struct {
		Assessment
		Player *struct{} `json:"player"`
	}
	err := json.Unmarshal(data, &doc)
	var wrong *json.UnmarshalTypeError
	switch {
	case errors.As(err, &wrong) && wrong.Field != "":
		return Assessment{}, fmt.Errorf("a %s under %s", wrong.Value, strings.TrimPrefix(wrong.Field, "Assessment."))
	case errors.As(err, &wrong):
		return Assessment{}, fmt.Errorf("a %s", wrong.Value)
	case err != nil:
		return Assessment{}, fmt.Errorf("text that is not JSON (%w)", err)
	case doc.Player == nil || doc.WorkOn == nil || doc.Chains == nil || doc.Findings == nil || doc.Cautions == nil:
		return Assessment{}, errors.New("a document without one of player, cautions, findings, chains, work_on")
	}
	return doc.Assessment, nil
}

// Gains is what a turn at each drill would give, in seconds: the sum, over the
// faults to work on that the drill serves, of what the fault gives back × the
// chance that it is there.
func (a Assessment) Gains() map[string]float64 {
	chance, recovers := map[string]float64{}, map[string]float64{}
	for _, f := range a.Findings {
		chance[f.Fault] = f.Chance
	}
	for _, c := range a.Chains {
		recovers[c.Root] = c.Recovers
	}
	out := map[string]float64{}
	for _, w := range a.WorkOn {
		for _, d := range w.Drills {
			out[d.Drill] += max(recovers[w.Fault], 0) * chance[w.Fault]
		}
	}
	return out
}

// Stopped says whether a caution stops throwing. Pain and a blow stop catching
// too; then there is nothing to work on and no gain at any station.
func (a Assessment) Stopped() bool {
	for _, c := range a.Cautions {
		if c.Level == "stop" && slices.Contains(c.Stops, "throwing") {
			return true
		}
	}
	return false
}

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
		Title  string  `json:"title"`
		Chance float64 `json:"chance"`
	} `json:"findings"`
	Chains []struct {
		Root     string  `json:"root"`
		Recovers float64 `json:"recovers_s"`
		U        float64 `json:"u"`
	} `json:"chains"`
	WorkOn []struct {
		Fault  string `json:"fault"`
		Drills []struct {
			Drill  string `json:"drill"`
			Title  string `json:"title"`
			Dose   string `json:"dose"`
			Throws int    `json:"throws"`
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

// A Root is a fault to work on, with what a turn at one of its drills gives.
type Root struct {
	Fault, Title string
	RecoversS    float64 // what the fault gives back, seconds
	U            float64 // its standard uncertainty, seconds
	Chance       float64 // that the fault is there
	Drills       []string
}

// GainS is what a turn gives: what the fault gives back × its chance, seconds.
func (r Root) GainS() float64 { return max(r.RecoversS, 0) * r.Chance }

// Roots are the faults to work on, the first first.
func (a Assessment) Roots() []Root {
	roots := make([]Root, len(a.WorkOn))
	for i, w := range a.WorkOn {
		r := Root{Fault: w.Fault, Drills: []string{}}
		for _, f := range a.Findings {
			if f.Fault == w.Fault {
				r.Title, r.Chance = f.Title, f.Chance
			}
		}
		for _, c := range a.Chains {
			if c.Root == w.Fault {
				r.RecoversS, r.U = c.Recovers, c.U
			}
		}
		for _, d := range w.Drills {
			r.Drills = append(r.Drills, d.Drill)
		}
		roots[i] = r
	}
	return roots
}

// Gains is what a turn at each drill would give, in seconds: the sum over the
// faults to work on that the drill serves.
func (a Assessment) Gains() map[string]float64 {
	out := map[string]float64{}
	for _, r := range a.Roots() {
		for _, d := range r.Drills {
			out[d] += r.GainS()
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

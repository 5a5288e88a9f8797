package club

import (
	"context"
	"strconv"

	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// PlanDrills asks for the throws of the drills that are handed out.
const PlanDrills = "drills"

// A PlannedDrill is a drill that is handed out, with the throws of one dose.
type PlannedDrill struct {
	Rubric     string `json:"rubric"`
	Assessment string `json:"assessment" doc:"Id of the assessment whose work_on has it"`
	Drill      string `json:"drill"`
	Title      string `json:"title"`
	Dose       string `json:"dose"`
	Throws     int    `json:"throws" doc:"In one dose"`
}

// plannedThrows is how many throws are planned on a day: a number as it stands,
// or one dose of each drill that the latest assessment by each rubric in force
// hands out that day, with the instructor's word and under the day's gate.
func (c *Clubs) plannedThrows(ctx context.Context, tx store.Tx, ref, day, planned string) (drills []PlannedDrill, throws *int, err error) {
	if planned == "" {
		return nil, nil, nil
	}
	if planned != PlanDrills {
		n, err := strconv.Atoi(planned)
		if err != nil || n < 0 || n > workload.MostPlanned {
			return nil, nil, refuse("out-of-range", "", strconv.Quote(planned)+" as planned", "throws from 0 to "+strconv.Itoa(workload.MostPlanned)+", or "+PlanDrills, "")
		}
		return nil, &n, nil
	}
	g, err := c.gateOfDay(ctx, tx, day)
	if err != nil {
		return nil, nil, err
	}
	gate, err := c.gateToday(ctx, tx, g, ref)
	if err != nil {
		return nil, nil, err
	}
	rubrics, err := c.rubricsInForce(ctx, tx)
	if err != nil {
		return nil, nil, err
	}
	sum, counted := 0, map[string]bool{}
	for _, v := range rubrics {
		row, doc, err := c.latest(ctx, tx, ref, v.Name, g.today, gate)
		if err != nil {
			return nil, nil, err
		}
		for _, w := range doc.WorkOn {
			for _, d := range w.Drills {
				if key := v.Name + " " + d.Drill; !counted[key] { // one dose serves every fault
					counted[key], sum = true, sum+d.Throws
					drills = append(drills, PlannedDrill{v.Name, row.ID, d.Drill, d.Title, d.Dose, d.Throws})
				}
			}
		}
	}
	return drills, &sum, nil
}

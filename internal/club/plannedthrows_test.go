package club_test

import (
	"errors"
	"testing"

	"rootcue/internal/club"
)

// One dose of knee throws is 10 throws, however many faults it serves; a tired
// arm is handed none.
func TestPlannedThrows(t *testing.T) {
	c := embedded(t)
	at(t, c, spring)
	a := member(t, c, "North", "admin")
	throwsFor(t, c, a, reviewable(t, c, a, "P-1", "2026-05-09"))
	w, err := c.Workload(ctx, a, "P-1", "", club.PlanDrills)
	if err != nil || w.IfThrows == nil || w.IfThrows.Throws != 10 || *w.IfThrows.Left != 40 || len(w.PlannedDrills) != 1 || w.PlannedDrills[0].Drill != "knee-throws" || w.PlannedDrills[0].Throws != 10 {
		t.Fatalf("found %+v, %+v, %v", w.IfThrows, w.PlannedDrills, err)
	}
	if w, err = c.Workload(ctx, a, "P-1", "", "51"); err != nil || w.IfThrows.Throws != 51 || w.IfThrows.OverBy != 1 || w.PlannedDrills != nil {
		t.Errorf("found %+v, %v", w.IfThrows, err)
	}
	if w, err = c.Workload(ctx, a, "P-1", "", ""); err != nil || w.IfThrows != nil {
		t.Errorf("told without being asked: %+v, %v", w.IfThrows, err)
	}
	enter(t, c, a, "P-1", `[{"date": "2026-05-10", "kind": "tired"}]`)
	if w, err = c.Workload(ctx, a, "P-1", "", club.PlanDrills); err != nil || w.IfThrows.Throws != 0 || len(w.PlannedDrills) != 0 {
		t.Errorf("tired: found %+v, %+v, %v", w.IfThrows, w.PlannedDrills, err)
	}
	var refusal *club.Refusal
	for _, bad := range [][2]string{{"", "many"}, {"", "-1"}, {"", "1000"}, {"2026-05-09", club.PlanDrills}} {
		if _, err := c.Workload(ctx, a, "P-1", bad[0], bad[1]); !errors.As(err, &refusal) {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

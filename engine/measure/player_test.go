package measure_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rootcue/engine/body"
)

// TestAgeAndBand: the playing age as stated, or on the rubric's cut-off of the
// season's year; the cut-off's month counts as not yet.
func TestAgeAndBand(t *testing.T) {
	for _, c := range []struct {
		player string
		age    int
		band   string
	}{
		{`"age": 7`, 7, "7-10"}, {`"age": 10`, 10, "7-10"}, {`"age": 11`, 11, "11-18"}, {`"age": 18`, 18, "11-18"},
		{`"born": "2014-03"`, 12, "11-18"}, {`"born": "2014-04"`, 11, "11-18"}, {`"born": "2015-05"`, 10, "7-10"}, {`"age": 12, "born": "2014-03"`, 12, "11-18"},
	} {
		s := readDocument(t, document(c.player, ""))
		if s.Age != c.age || s.Rubric.Bands[s.Band].Name != c.band {
			t.Errorf("%s: age %d in %s, wanted %d in %s", c.player, s.Age, s.Rubric.Bands[s.Band].Name, c.age, c.band)
		}
	}
}

// TestStature: as stated, or the published median with its spread and a note;
// below the table none.
func TestStature(t *testing.T) {
	table, u, _ := body.Stature(12)
	for _, c := range []struct {
		player string
		x, u   float64
		note   string
	}{
		{`"age": 12, "stature_cm": 150`, 1.5, 0, ""},
		{`"age": 12`, table, u, "stature-from-table"},
		{`"age": 7`, 0, 0, ""},
		{`"age": 7, "stature_cm": 120`, 1.2, 0, ""},
		{`"age": 12, "stature_cm": 150, "stature_on": "2026-02-08"`, 1.5, 0, ""}, // 90 days
		{`"age": 12, "stature_cm": 150, "stature_on": "2026-02-07"`, 1.5, 0, "stature-old"},
		{`"age": 12, "stature_cm": 150, "stature_on": "2026-06-01"`, 1.5, 0, ""},
	} {
		s := readDocument(t, document(c.player, ""))
		within(t, "stature with "+c.player, s.Stature.X, c.x)
		within(t, "u with "+c.player, s.Stature.U(), c.u)
		if c.note == "" && len(s.Notes) > 0 || c.note != "" && !hasNote(s, c.note) {
			t.Errorf("%s: notes %v", c.player, s.Notes)
		}
	}
}

// TestThroughStature: lengths turn into shares of stature and back; a stature
// from the table hands its uncertainty on, the same to every rep.
func TestThroughStature(t *testing.T) {
	h, u, _ := body.Stature(12)
	for _, c := range []struct {
		measure, text string
		x, u          float64
	}{
		{"height", `{"value": 60, "u": 0, "unit": "cm"}`, 0.6 / h, 0.6 / h / h * u},
		{"height", `{"value": 60, "u": 3, "unit": "cm"}`, 0.6 / h, math.Hypot(0.6/h/h*u, 0.03/h)},
		{"height", `{"value": 24, "unit": "in"}`, 0.6096 / h, math.Hypot(0.6096/h/h*u, 0.02)},
		{"height", `{"value": 0.4, "u": 0}`, 0.4, 0},
		{"reach", `{"value": 0.5, "u": 0, "unit": "stature"}`, 0.5 * h, 0.5 * u},
		{"reach", `{"value": 0.5, "u": 0}`, 0.5, 0},
	} {
		rep := fmt.Sprintf(`"measures": {%q: %s}`, c.measure, c.text)
		s := readDocument(t, document(`"age": 12`, "", rep, rep, rep))
		m := mean(s, c.measure).Value
		within(t, c.measure+" of "+c.text, m.X, c.x)
		// What the stature adds is shared; three private errors shrink by √3.
		private := 0.0
		if strings.Contains(c.text, `"u": 3`) {
			private = 0.03 / h / math.Sqrt(3)
			within(t, "u of "+c.text, m.U(), math.Hypot(0.6/h/h*u, private))
			continue
		}
		within(t, "u of "+c.text, m.U(), c.u)
	}
}

// TestUnitsCommute: the same length in any unit is the same reading.
func TestUnitsCommute(t *testing.T) {
	for player, h := range map[string]float64{`"age": 12, "stature_cm": 150`: 1.5, `"age": 12`: func() float64 { m, _, _ := body.Stature(12); return m }()} {
		var first float64
		for i, text := range []string{`{"value": 45, "u": 3, "unit": "cm"}`, `{"value": 0.45, "u": 0.03, "unit": "m"}`, `{"value": 450, "u": 30, "unit": "mm"}`,
			fmt.Sprintf(`{"value": %v, "u": %v, "unit": "ft"}`, 0.45/0.3048, 0.03/0.3048), fmt.Sprintf(`{"value": %v, "u": %v, "unit": "in"}`, 0.45/0.0254, 0.03/0.0254)} {
			m := mean(readDocument(t, document(player, "", `"measures": {"height": `+text+`}`)), "height").Value
			within(t, text, m.X, 0.45/h)
			if i == 0 {
				first = m.U()
			}
			within(t, "u of "+text, m.U(), first)
		}
	}
	a := mean(read(t, `"turn": {"value": 17, "u": 2, "unit": "deg"}`), "turn").Value
	b := mean(read(t, fmt.Sprintf(`"turn": {"value": %v, "u": %v, "unit": "rad"}`, 17*math.Pi/180, 2*math.Pi/180)), "turn").Value
	within(t, "radians", b.X, a.X)
	within(t, "u in radians", b.U(), a.U())
}

// TestNoStature: at 7 no table says how tall a player is; lengths that need it
// are refused, shares of stature are not.
func TestNoStature(t *testing.T) {
	r := parse(t, small)
	_, problems := tryRead(t, r, document(`"age": 7`, "", `"measures": {"height": {"value": 40, "unit": "cm"}}`))
	if len(problems) != 1 || problems[0].Code != "no-stature" || problems[0].Pointer != "/reps/0/measures/height" || !strings.Contains(problems[0].Wanted, "stature_cm") {
		t.Errorf("%+v", problems)
	}
	s := readDocument(t, document(`"age": 7`, "", `"measures": {"height": 0.3}`))
	if m := mean(s, "height"); m.Value.X != 0.3 {
		t.Errorf("%+v", m)
	}
	if m := mean(s, "way"); m.Reps != 0 {
		t.Errorf("a formula that reads the stature gives %+v", m)
	}
}

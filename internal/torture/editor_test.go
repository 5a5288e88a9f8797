package torture_test

import (
	"encoding/json"
	"fmt"
	"strconv"
)

// What an instructor and an admin do.

// editLimits changes a limit for one age group. Its answer lost, the change may
// be made: then a version with its reason is there, and If-Match fails.
func (d *driver) editLimits() error {
	a, err := d.s.send(request{method: "GET", path: "/v1/rubrics/throw-to-second", key: d.key})
	if err != nil || a.status != 200 {
		if err == nil && !d.refused(request{method: "GET", path: "rubric"}, a.status, a.header, a.body) {
			d.b.fault("the rubric is answered %d: %.300s", a.status, a.body)
		}
		return err
	}
	reason := "r-" + strconv.FormatInt(serial.Add(1), 10)
	body := fmt.Sprintf(`{"limits": [{"fault": "tall-set", "band": "13-14", "at_most": 0.37%03d}], "reason": %q}`, d.chance.IntN(1000), reason)
	return d.do(step{request{method: "PATCH", path: "/v1/rubrics/throw-to-second/limits", body: body, header: map[string]string{"If-Match": a.header.Get("ETag"), "Idempotency-Key": reason}}, d.published("throw-to-second", reason)})
}

// publish publishes a version of a rubric of the club's own.
func (d *driver) publish() error {
	reason := "p-" + strconv.FormatInt(serial.Add(1), 10)
	body := fmt.Sprintf(`rubric: quick-hands
title: Quick hands %s
bands: {"11-12": {ages: [11, 12]}, "13-14": {ages: [13, 14]}}
measures:
  change_time: {title: Catch to change of hands, unit: s, plausible: [0.05, 2], u: 0.02}
faults:
  slow-change: {title: The change of hands is slow, measure: change_time, at_most: {"11-12": 0.35, "13-14": 0.3}, cue: Quick hands, praise: Your hands are quick}
`, reason)
	header := map[string]string{"Content-Type": "application/yaml", "Idempotency-Key": reason}
	a, err := d.s.send(request{method: "GET", path: "/v1/rubrics/quick-hands", key: d.key})
	if err != nil {
		return err
	}
	if a.status == 200 {
		header["If-Match"] = a.header.Get("ETag")
	}
	return d.do(step{request{method: "PUT", path: "/v1/rubrics/quick-hands?reason=" + reason, body: body, header: header}, d.published("quick-hands", reason)})
}

// published takes a version, or that another came before it.
func (d *driver) published(rubric, reason string) func(answer) bool {
	return func(a answer) bool {
		var v struct {
			Version int
			Why     string
		}
		switch a.status {
		case 412, 428, 409:
			d.b.add("overtaken", 1)
			return true
		case 200:
			if json.Unmarshal(a.body, &v) != nil || v.Version == 0 {
				return false
			}
			if v.Why == reason {
				d.b.version(rubric, reason, v.Version)
			}
			return true
		}
		return false
	}
}

// erase makes a player with an observation and erases everything again, half of
// the time as a job.
func (d *driver) erase() error {
	player := "E-" + strconv.FormatInt(serial.Add(1), 10)
	doc, session := d.document(player)
	erasure := request{method: "DELETE", path: "/v1/players/" + player, header: map[string]string{}}
	if d.chance.IntN(2) == 0 {
		erasure.header["Prefer"] = "respond-async"
	}
	waiting := len(d.again)
	if err := d.do(step{request{method: "POST", path: "/v1/observations", body: doc}, func(a answer) bool { return a.status == 200 }}); err != nil || len(d.again) > waiting {
		return err // the player may be there or not: nobody has asked for the erasure
	}
	return d.do(step{erasure, func(a answer) bool {
		var of struct{ Job string }
		if a.status != 404 && (a.status != 200 || json.Unmarshal(a.body, &of) != nil) {
			return false
		}
		d.b.note(func() {
			d.b.count["acknowledged"]++
			d.b.erased[player] = true
			if of.Job != "" {
				d.b.jobs[of.Job] = true
			}
			delete(d.b.observations, session)
		})
		return true
	}})
}

func (d *driver) reassess() error {
	return d.do(step{request{method: "POST", path: "/v1/rubrics/throw-to-second/reassess"}, func(a answer) bool {
		var of struct{ Job string }
		if a.status != 202 || json.Unmarshal(a.body, &of) != nil {
			return false
		}
		d.b.note(func() {
			d.b.count["acknowledged"]++
			d.b.jobs[of.Job] = true
		})
		return true
	}})
}

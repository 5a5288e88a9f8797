package engine_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine"
	"rootcue/engine/observation"
	"rootcue/engine/rubric"
)

// keysOf lists the keys of a JSON object, "a b c".
func keysOf(t *testing.T, raw json.RawMessage) string {
	t.Helper()
	var object map[string]json.RawMessage
	if err := json.Unmarshal(raw, &object); err != nil {
		t.Fatalf("%v: %s", err, raw)
	}
	return strings.Join(slices.Sorted(maps.Keys(object)), " ")
}

// at walks into a document by keys; a list gives its first element.
func at(t *testing.T, raw json.RawMessage, path string) json.RawMessage {
	t.Helper()
	for _, key := range strings.Fields(path) {
		var object map[string]json.RawMessage
		if json.Unmarshal(raw, &object) != nil || object[key] == nil {
			t.Fatalf("no %s in %.200s", key, raw)
		}
		raw = object[key]
		var list []json.RawMessage
		if json.Unmarshal(raw, &list) == nil && len(list) > 0 {
			raw = list[0]
		}
	}
	return raw
}

const (
	topKeys     = "cautions chains clock findings keep look_next measures notes on player reps rubric undecided work_on"
	findingKeys = "costs_s fault in_context in_reps limit past_by title u_costs_s verdict why"
	clockKeys   = "exchange_s flight_s lost_s parts pop_s reference_s throw_speed_mps u_lost_s unexplained_s"
)

// TestKeys: every key of the answer is always there, null or empty where nothing
// is known; only the id, a chance that is not known and the clock without an
// exchange are left out.
func TestKeys(t *testing.T) {
	a := assess(t, 12, 3, map[string]any{"clean_change": false, "change_time": 0.50, "feet_lag": 0.22, "drawback": 0.4, "stride_length": 0.7, "exchange_time": 1.30, "first_step_off_line": nil, "stride_off_line": 30, "arrival_side": 3})
	doc := json.RawMessage(jsonOf(t, a))
	for path, want := range map[string]string{
		"": topKeys, "rubric": "name sha256 version", "player": "age band ref stature_m", "measures hip_height_set": "from reps u unit value",
		"findings": "chance " + findingKeys, "findings limit": "between", "findings why": "band clips line reads rule source", "findings why reads foot_stagger_set": "u unit value",
		"clock": clockKeys, "clock parts": "fault prior_s s u", "chains": "explains links rank recovers_s root u verdict", "chains links": "because carries_s from share to",
		"work_on": "chance_out_after chance_out_before cue drills exchange_after_s fault pop_after_s", "work_on drills": "dose drill how throws title",
		"keep": "item says", "undecided": "forward pair settle_by", "look_next": "fault measure says suspected", "notes": "code says", "cautions": "code level says source stops",
	} {
		from := doc
		if strings.HasPrefix(path, "findings limit") || strings.HasPrefix(path, "findings why reads") {
			from = finding(t, doc, "poor-stagger")
			path = strings.TrimPrefix(path, "findings ")
		}
		if strings.HasPrefix(path, "chains links") {
			from, path = chain(t, doc, "fumbled-change"), "links"
		}
		if got := keysOf(t, at(t, from, path)); got != want {
			t.Errorf("%s has the keys %s, wanted %s", path, got, want)
		}
	}
}

func finding(t *testing.T, doc json.RawMessage, name string) json.RawMessage {
	return member(t, doc, "findings", "fault", name)
}

func chain(t *testing.T, doc json.RawMessage, root string) json.RawMessage {
	return member(t, doc, "chains", "root", root)
}

// member finds the element of a list by one of its keys.
func member(t *testing.T, doc json.RawMessage, list, key, value string) json.RawMessage {
	t.Helper()
	var all map[string]json.RawMessage
	var elements []json.RawMessage
	if json.Unmarshal(doc, &all) != nil || json.Unmarshal(all[list], &elements) != nil {
		t.Fatalf("no %s", list)
	}
	for _, e := range elements {
		if string(at(t, e, key)) == `"`+value+`"` {
			return e
		}
	}
	t.Fatalf("no %s in %s", value, list)
	return nil
}

// TestKeysOfNothing: with nothing seen lists are [], numbers null, and the
// clock has its parts alone.
func TestKeysOfNothing(t *testing.T) {
	a := assessText(t, throwRubric(t), `{"player": {"ref": "P", "age": 12}, "on": "2026-05-09", "reps": []}`)
	doc := json.RawMessage(jsonOf(t, a))
	if got := keysOf(t, doc); got != topKeys {
		t.Errorf("keys %s", got)
	}
	if got := keysOf(t, at(t, doc, "findings")); got != findingKeys {
		t.Errorf("a finding not seen has the keys %s", got)
	}
	for path, want := range map[string]string{"clock": `{"parts":[]}`, "work_on": "[]", "chains": "[]", "keep": "[]", "undecided": "[]", "measures": "{}",
		"findings in_reps": "null", "findings past_by": "null", "findings costs_s": "null", "findings u_costs_s": "null", "findings why clips": "[]", "findings why reads": "{}"} {
		if got := string(at(t, doc, path)); got != want {
			t.Errorf("%s is %s, wanted %s", path, got, want)
		}
	}
	slowPop := finding(t, doc, "slow-pop")
	if limit := string(at(t, slowPop, "limit")); limit != "null" {
		t.Errorf("a condition has the limit %s", limit)
	}
}

// TestID: the caller's id stands first; without one there is none.
func TestID(t *testing.T) {
	o, _ := observation.Decode([]byte(`{"player": {"ref": "P", "age": 12}, "on": "2026-05-09", "reps": []}`))
	a, _ := engine.Assess(engine.Request{Rubric: throwRubric(t), Observation: o, ID: "01890a5d", Version: 4})
	if out := jsonOf(t, a); !bytes.HasPrefix(out, []byte(`{"id":"01890a5d","rubric":{"name":"throw-to-second","version":4,`)) {
		t.Errorf("%.80s", out)
	}
}

// TestSameBytes: the same input and the same rubric bytes give the same bytes,
// in all goroutines at once and from a rubric parsed anew.
func TestSameBytes(t *testing.T) {
	docs := [][]byte{sixReps(t), []byte(`{"player": {"ref": "P", "age": 15}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"throw_speed": 60, "exchange_time": 0.95, "pop_time": 2.2, "hip_height_set": {"value": 60, "unit": "cm"}}}, {"rep": 2, "held": ["late-feet"], "measures": {"change_time": 0.4}}]}`)}
	r := throwRubric(t)
	for _, doc := range docs {
		want := jsonOf(t, assessText(t, r, string(doc)))
		var group sync.WaitGroup
		for range 8 {
			group.Go(func() { repeat(t, r, doc, want) })
		}
		repeat(t, throwRubric(t), doc, want)
		group.Wait()
	}
}

func repeat(t *testing.T, r *rubric.Rubric, doc, want []byte) {
	o, _ := observation.Decode(doc)
	for range 13 {
		a, problems := engine.Assess(engine.Request{Rubric: r, Observation: o})
		if a == nil {
			t.Errorf("%v", problems)
			return
		}
		if got, _ := a.JSON(); !bytes.Equal(got, want) {
			t.Errorf("other bytes:\n%s", cmp.Diff(string(want), string(got)))
			return
		}
	}
}

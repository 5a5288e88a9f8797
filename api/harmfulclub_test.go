//go:build !race

package api_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"rootcue/internal/club"
)

// Texts that are more than text to a page that takes them for HTML, a script, an
// address or a template. The name of a field stands in each, so that it is known
// where the text came from. bareHarm goes where quotes and slashes are refused,
// and tinyHarm is a bib.
const (
	shortHarm = `"'></textarea><script>alert(1)</script><x-harm><img src=x onerror=alert(1)>-->{{.}}`
	bareHarm  = `<x-harm><img src=x onerror=alert(1)>`
	tinyHarm  = `<x-harm>7`
)

func harm(field string) string { return "javascript:alert(1)//" + field + shortHarm }

// short is harm for fields of at most 100 bytes.
func short(field string) string { return field + shortHarm }

// harmfulScene is a club each of whose free texts is one of these.
func (s *pageServer) harmfulScene(t testing.TB) (sc scene) {
	t.Helper()
	for _, role := range club.Roles {
		_, secret, err := s.clubs.AddFirstKey(context.Background(), harm("club"), club.NewKey{Label: short("label"), Role: role})
		if err != nil {
			t.Fatal(err)
		}
		s.secrets[role] = secret
	}
	s.must(t, "edit", "PUT", "/v1/rubrics/receiving?reason="+url.QueryEscape(harm("reason")), harmfulRubric(t), "Content-Type", "application/yaml", "If-Match", "*")
	cell := func(text string) string { return `"` + strings.ReplaceAll(text, `"`, `""`) + `"` }
	csv := "player,age,on,session,rater,rep,set_on_time,thumb_under,quiet_hand,ball_kept,pitch\n"
	for rep := range 3 {
		csv += fmt.Sprintf("%s,12,2026-05-03,%s,%s,%d,yes,no,2,yes,low\n", cell(harm("ref")), cell(harm("session")), cell(harm("rater")), rep+1)
	}
	s.must(t, "submit", "POST", "/v1/observations?rubric=receiving", csv, "Content-Type", "text/csv")
	s.harmfulPolicy(t)
	s.must(t, "edit", "PUT", "/v1/groups/catchers", asJSON(object{"players": []string{harm("ref")}}))
	sc.assessment = s.assessmentOf(t, url.QueryEscape(harm("ref")))
	sc.link = s.familyLink(t, sc.assessment, asJSON(object{
		"cues": []any{object{"fault": "noisy-hand", "cue": harm("own-cue")}}, "note": harm("note"), "release": true,
		"dropped": []any{object{"fault": "low-pitch-stabbed", "reason": harm("dropped")}}}))
	sc.tryout, sc.bib = s.harmfulTryout(t), tinyHarm
	return sc
}

// harmfulPolicy puts a workload policy in force, and a throw too many.
func (s *clubServer) harmfulPolicy(t testing.TB) {
	t.Helper()
	s.must(t, "admin", "PUT", "/v1/policies/league", asJSON(object{
		"policy": "league", "title": harm("policy"), "age_on": "04-30",
		"source":   object{"by": harm("policy-by"), "edition": harm("edition"), "read": "2026-01-10", "note": harm("policy-note")},
		"pitching": []any{object{"ages": []int{7, 18}, "most_a_day": 70, "rest": []any{object{"to": 70, "days": 4}}}},
		"examples": []any{object{"name": harm("policy-example"), "age": 13, "ledger": []any{object{"date": "2026-05-02", "kind": "pitches", "count": 46}}, "on": "2026-05-03", "expect": object{"pitching": object{"answer": "no"}}}},
	}), "Content-Type", "application/yaml")
	tag := s.ask(t, "admin", "GET", "/v1/settings", "").Header().Get("ETag")
	s.must(t, "admin", "PUT", "/v1/settings", `{"time_zone": "UTC", "policies": ["league"], "team_policies": {}, "review_first": true, "frame_ancestors": [], "web_origins": [], "keep_months": 0}`, "If-Match", tag)
	throws := asJSON([]any{object{"date": "2026-05-09", "kind": "pitches", "count": 90, "note": short("throw-note")}})
	r := httptest.NewRequest("POST", "/v1/players/"+url.PathEscape(harm("ref"))+"/throws", strings.NewReader(throws))
	r.Header.Set("Authorization", "Bearer "+s.secrets["edit"])
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	if s.ServeHTTP(w, r); w.Code != 200 { // not by ask: it takes the slashes in the reference for parts of the path
		t.Fatalf("%d %s", w.Code, w.Body)
	}
}

// harmfulTryout is a tryout of four players and two evaluators, with a decision
// on one of them.
func (s *clubServer) harmfulTryout(t testing.TB) string {
	t.Helper()
	var made struct{ ID string }
	if err := json.Unmarshal(s.must(t, "edit", "POST", "/v1/tryouts", asJSON(object{
		"name": short("tryout"), "on": "2026-05-09", "panel": []string{bareHarm + "E1", "E2"}, "best": 2, "looks": 3,
		"own_items": []any{object{"item": "arm", "title": short("item"), "kind": "grade"}},
		"stations":  []any{object{"name": short("station"), "items": []string{"arm"}}},
	})), &made); err != nil {
		t.Fatal(err)
	}
	at := "/v1/tryouts/" + made.ID
	var roster, grades []any
	for i, bib := range []string{tinyHarm, "8", "9", "10"} {
		roster = append(roster, object{"bib": bib, "player": fmt.Sprint("S-", i)})
		for j, evaluator := range []string{bareHarm + "E1", "E2"} {
			grades = append(grades, object{"bib": bib, "evaluator": evaluator, "item": "arm", "grade": i + 1 + j*(i%2)})
		}
	}
	s.must(t, "edit", "POST", at+"/roster", asJSON(roster))
	s.must(t, "submit", "POST", at+"/grades", asJSON(object{"grades": grades}))
	s.must(t, "edit", "PUT", at+"/recusals/"+url.PathEscape(bareHarm+"E1")+"/10", asJSON(object{"why": harm("recused")}))
	s.must(t, "edit", "POST", at+"/decisions", asJSON(object{"bib": tinyHarm, "kind": "decision", "chosen": true, "group": short("team"), "feedback": harm("feedback"), "why": harm("why")}))
	return made.ID
}

// proseKeys are the keys of a rubric whose values are prose.
var proseKeys = []string{"title", "cue", "praise", "because", "source", "how", "dose", "name", "skill"}

// harmfulRubric is the shipped rubric on receiving with harm in all its prose.
func harmfulRubric(t testing.TB) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "rubrics", "receiving.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	var root yaml.Node
	if err := yaml.Unmarshal(b, &root); err != nil {
		t.Fatal(err)
	}
	poison(root.Content[0], "rubric")
	out, err := yaml.Marshal(&root)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// poison puts harm in place of the prose of a node, named after the section of
// the file and the key.
func poison(n *yaml.Node, section string) {
	for i := 0; i+1 < len(n.Content) && n.Kind == yaml.MappingNode; i += 2 {
		key, value := n.Content[i].Value, n.Content[i+1]
		switch {
		case value.Kind == yaml.ScalarNode && slices.Contains(proseKeys, key):
			*value = yaml.Node{Kind: yaml.ScalarNode, Style: yaml.DoubleQuotedStyle, Value: harm(section + "-" + key)}
		case key == "kit":
			for _, thing := range value.Content {
				*thing = yaml.Node{Kind: yaml.ScalarNode, Style: yaml.DoubleQuotedStyle, Value: harm(section + "-kit")}
			}
		case section == "rubric":
			poison(value, strings.TrimSuffix(key, "s"))
		default:
			poison(value, section)
		}
	}
	for _, item := range n.Content {
		if n.Kind == yaml.SequenceNode {
			poison(item, section)
		}
	}
}

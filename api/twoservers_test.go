package api_test

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"rootcue/api"
	"rootcue/internal/store/storetest"
)

// twoServers are two servers of one PostgreSQL; a key of the one opens the other.
func twoServers(t testing.TB) [2]*clubServer {
	t.Helper()
	url := storetest.Postgres(t)
	one, two := newClubServer(t, url), newClubServer(t, url)
	two.secrets = one.secrets
	return [2]*clubServer{one, two}
}

// Nothing is kept in a server that another could have changed: what the one
// publishes, activates, revokes or sets, the other goes by at once.
func TestTwoServersAgree(t *testing.T) {
	servers := twoServers(t)
	version := func(s *clubServer, ref, want string) {
		t.Helper()
		w := s.ask(t, "submit", "POST", "/v1/observations", fmt.Sprintf(`{"rubric": "throw-to-second", "player": {"ref": %q, "age": 13}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"stride_off_line": 25}}]}`, ref), "Content-Type", "application/json")
		id := strings.Trim(at(t, w.Body.Bytes(), "/lines/0/assessment"), `"`)
		if got := at(t, s.ask(t, "read", "GET", "/v1/assessments/"+id, "").Body.Bytes(), "/rubric/version"); got != want {
			t.Errorf("judged by version %s, wanted %s", got, want)
		}
	}
	tags := []string{}
	for i := range 6 { // now the one publishes, now the other
		here, there := servers[i%2], servers[1-i%2]
		version(there, fmt.Sprint("P-before-", i), fmt.Sprint(i+1))
		tag := here.ask(t, "read", "GET", "/v1/rubrics/throw-to-second", "").Header().Get("ETag")
		w := here.ask(t, "edit", "PATCH", "/v1/rubrics/throw-to-second/limits", fmt.Sprintf(`{"limits": [{"fault": "tall-set", "band": "13-14", "at_most": 0.37%d}]}`, i+1), "Content-Type", "application/json", "If-Match", tag)
		if w.Code != 200 {
			t.Fatal(w.Body)
		}
		tags = append(tags, w.Header().Get("ETag"))
		version(there, fmt.Sprint("P-after-", i), fmt.Sprint(i+2))
		if w := there.ask(t, "edit", "PATCH", "/v1/rubrics/throw-to-second/limits", `{"limits": [{"fault": "tall-set", "band": "13-14", "at_most": 0.36}]}`, "Content-Type", "application/json", "If-Match", tag); w.Code != 412 {
			t.Errorf("a change from before is answered %d by the other", w.Code)
		}
	}
	w := servers[0].ask(t, "edit", "POST", "/v1/rubrics/throw-to-second/activate", `{"version": 2}`, "Content-Type", "application/json", "If-Match", tags[5])
	if w.Code != 200 {
		t.Fatal(w.Body)
	}
	version(servers[1], "P-back", "2")

	w = servers[0].ask(t, "admin", "POST", "/v1/keys", `{"label": "for a day", "role": "read"}`, "Content-Type", "application/json")
	id := strings.Trim(at(t, w.Body.Bytes(), "/id"), `"`)
	servers[1].secrets["new"] = strings.Trim(at(t, w.Body.Bytes(), "/key"), `"`)
	for _, want := range []int{200, 401} {
		if w := servers[1].ask(t, "new", "GET", "/v1/rubrics", ""); w.Code != want {
			t.Errorf("the key of the other is answered %d, wanted %d", w.Code, want)
		}
		servers[0].ask(t, "admin", "DELETE", "/v1/keys/"+id, "")
	}
}

// The same request sent to both at once, again and again, is done once, and
// answered alike or put off.
func TestTwoServersOneIdempotencyKey(t *testing.T) {
	servers := twoServers(t)
	body, _ := api.Example("add-tryout.request", "application/json")
	const rounds, each = 8, 3
	for round := range rounds {
		answers := make([]*httptest.ResponseRecorder, 2*each)
		var wait sync.WaitGroup
		for i := range answers {
			wait.Go(func() {
				r := httptest.NewRequest("POST", "/v1/tryouts", strings.NewReader(string(body)))
				r.Header.Set("Content-Type", "application/json")
				r.Header.Set("Idempotency-Key", fmt.Sprint("round-", round))
				r.Header.Set("Authorization", "Bearer "+servers[0].secrets["edit"])
				answers[i] = httptest.NewRecorder()
				servers[i%2].ServeHTTP(answers[i], r)
			})
		}
		wait.Wait()
		done := map[string]bool{}
		for _, w := range answers {
			checkAnswer(t, "POST", "/v1/tryouts", w)
			switch w.Code {
			case 200:
				done[at(t, w.Body.Bytes(), "/id")] = true
			case 409:
			default:
				t.Errorf("answered %d: %s", w.Code, w.Body)
			}
		}
		if len(done) != 1 {
			t.Errorf("round %d made %d tryouts: %v", round, len(done), done)
		}
	}
	if n := strings.Count(servers[1].ask(t, "edit", "GET", "/v1/tryouts", "").Body.String(), `"name":"Spring tryout"`); n != rounds {
		t.Errorf("%d tryouts after %d rounds", n, rounds)
	}
}

// The same document sent to both at once is one observation.
func TestTwoServersOneDocument(t *testing.T) {
	servers := twoServers(t)
	var lines []string
	const documents = 40
	for i := range documents {
		lines = append(lines, fmt.Sprintf(`{"rubric": "throw-to-second", "player": {"ref": "P-%d", "age": 13}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"stride_off_line": 25}}]}`, i))
	}
	answers := make([]*httptest.ResponseRecorder, 4)
	var wait sync.WaitGroup
	for i := range answers {
		wait.Go(func() {
			r := httptest.NewRequest("POST", "/v1/observations", strings.NewReader(strings.Join(lines, "\n")))
			r.Header.Set("Content-Type", "application/x-ndjson")
			r.Header.Set("Authorization", "Bearer "+servers[0].secrets["submit"])
			answers[i] = httptest.NewRecorder()
			servers[i%2].ServeHTTP(answers[i], r)
		})
	}
	wait.Wait()
	stored, same := 0, 0
	for _, w := range answers {
		checkAnswer(t, "POST", "/v1/observations", w)
		stored += strings.Count(w.Body.String(), `"status":"stored"`)
		same += strings.Count(w.Body.String(), `"status":"same"`)
	}
	if stored != documents || same != documents*(len(answers)-1) {
		t.Errorf("%d stored and %d same of %d sent %d times", stored, same, documents, len(answers))
	}
}

// Each server counts requests for itself, as the README says: a key that has
// used up its rate at the one still has it at the other.
func TestTwoServersCountApart(t *testing.T) {
	servers := twoServers(t)
	var limited [2]*api.Server
	for i, s := range servers {
		o := s.Options
		o.Rate = api.Rate{Requests: 2, Window: time.Hour}
		limited[i] = api.New(o)
	}
	for i, want := range []int{200, 200, 429} {
		for n, s := range limited {
			if w := ask(t, s, "GET", "/v1/rubrics", "", "Authorization", "Bearer "+servers[0].secrets["read"]); w.Code != want {
				t.Errorf("request %d at server %d is answered %d, wanted %d", i, n, w.Code, want)
			}
		}
	}
}

// Command clubsite drives a rootcue server with a typed client. The package
// rootcue is generated from the server's OpenAPI document:
//
//	curl -s URL/openapi.json > openapi.json
//	go tool oapi-codegen -generate types,client -package rootcue -o rootcue/client.go openapi.json
//	go run . URL KEY
//
// It submits an observation, reads what became of it, and shows what the
// server says of a wrong one. Each line it prints is one fact.
package main

import (
	"context"
	"fmt"
	"log"
	"net/http"
	"os"
	"time"

	"github.com/google/uuid"
	"github.com/oapi-codegen/runtime/types"

	"clubsite/rootcue"
)

func main() {
	if len(os.Args) != 3 {
		log.Fatal("usage: clubsite URL KEY")
	}
	key := func(_ context.Context, r *http.Request) error {
		r.Header.Set("Authorization", "Bearer "+os.Args[2])
		return nil
	}
	client, err := rootcue.NewClientWithResponses(os.Args[1], rootcue.WithRequestEditorFn(key))
	if err != nil {
		log.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	id, err := submit(ctx, client, observation(14))
	if err == nil {
		err = read(ctx, client, id)
	}
	if err != nil {
		log.Fatal(err)
	}
	if _, err = submit(ctx, client, observation(140)); err == nil {
		log.Fatal("an age of 140 is taken")
	}
	fmt.Println(err)
}

// observation is one throw of an invented player.
func observation(age int) rootcue.Observation {
	rubric, stride := "throw-to-second", &rootcue.Reading{}
	if err := stride.FromReading0(20.25); err != nil {
		log.Fatal(err)
	}
	o := rootcue.Observation{Rubric: &rubric, On: types.Date{Time: time.Date(2026, 5, 9, 0, 0, 0, 0, time.UTC)},
		Reps: []rootcue.Rep{{Rep: 1, Measures: &map[string]*rootcue.Reading{"stride_off_line": stride}}}}
	o.Player.Ref, o.Player.Age = "P-3001", &age
	return o
}

func submit(ctx context.Context, client *rootcue.ClientWithResponses, o rootcue.Observation) (id uuid.UUID, err error) {
	var body rootcue.Submission
	if err := body.FromObservation(o); err != nil {
		return id, err
	}
	answer, err := client.SubmitObservationsWithResponse(ctx, nil, body)
	if err != nil {
		return id, err
	}
	if p := answer.ApplicationproblemJSON422; p != nil {
		slip := p.Errors[0]
		return id, fmt.Errorf("%s: %s: found %s, wanted %s", p.Type, *slip.Pointer, slip.Found, slip.Wanted)
	}
	if answer.JSON200 == nil {
		return id, fmt.Errorf("submit: %s %s", answer.Status(), answer.Body)
	}
	line := answer.JSON200.Lines[0]
	fmt.Println(line.Status)
	return uuid.Parse(*line.Assessment)
}

func read(ctx context.Context, client *rootcue.ClientWithResponses, id uuid.UUID) error {
	answer, err := client.ReadAssessmentWithResponse(ctx, id)
	if err != nil {
		return err
	}
	a := answer.JSON200
	if a == nil {
		return fmt.Errorf("read: %s %s", answer.Status(), answer.Body)
	}
	m := a.Measures["stride_off_line"]
	fmt.Printf("%s %.2f %s\n", a.Player.Ref, *m.Value, m.Unit)
	for _, f := range a.Findings {
		if f.Fault == "stride-off-line" {
			fmt.Printf("%s %s\n", f.Fault, f.Verdict)
		}
	}
	return nil
}

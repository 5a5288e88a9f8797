package api

import (
	"context"
	"errors"

	"rootcue/engine/flight"
)

func (s *Server) flightRoutes() {
	Add(s, Route{
		Method: "POST", Path: "/v1/flight", ID: "flight", Tag: "Judge", Summary: "Time and angle of a throw, or its speed",
		Description: "The flat throw from hand to target through the air, with its uncertainty: from `speed` the time, from `time` the speed. A throw that does not carry is an answer. Values are numbers in SI, texts such as \"60mph\", or objects with value, unit and u. Nothing is kept.",
		Body:        Typed[flight.Request](),
	}, s.flight)
	Add(s, Route{
		Method: "POST", Path: "/v1/race", ID: "race", Tag: "Judge", Summary: "The chance that the runner is out",
		Description: "The pop time and the pitcher's delivery against the runner. An uncertainty left out beside a stated value is 0; defaults come in only where the value itself is left out. Nothing is kept.",
		Body:        Typed[flight.RaceRequest](),
	}, s.race)
}

func (s *Server) flight(_ context.Context, in *Raw) (*Answer[flight.Reply], error) {
	req, slips := flight.DecodeRequest(in.RawBody)
	if len(slips) > 0 {
		return nil, Refused(slips)
	}
	reply, err := flight.Answer(req)
	return &Answer[flight.Reply]{reply}, badRequest(err)
}

func (s *Server) race(_ context.Context, in *Raw) (*Answer[flight.RaceReply], error) {
	req, slips := flight.DecodeRaceRequest(in.RawBody)
	if len(slips) > 0 {
		return nil, Refused(slips)
	}
	reply, err := flight.RaceAnswer(req)
	return &Answer[flight.RaceReply]{reply}, badRequest(err)
}

// badRequest turns the slips of a flight or race into a problem.
func badRequest(err error) error {
	var bad *flight.BadRequest
	if errors.As(err, &bad) {
		return Refused(bad.Problems)
	}
	return err
}

package flight

import (
	"rootcue/engine/place"
	"rootcue/engine/strictjson"
)

// A RaceRequest asks who wins a race to the base. Only pop has no default. The
// uncertainty of a value stands within it or under its key with u_ in front;
// left out beside a stated value it is 0. The runner's time is stated, or
// follows from base_path, lead, top_speed, tau and reaction, whose defaults
// come from the playing age.
type RaceRequest struct {
	Pop      *Quantity `json:"pop"`
	Delivery *Quantity `json:"delivery,omitempty"`
	Tag      *Quantity `json:"tag,omitempty"`
	Runner   *Quantity `json:"runner,omitempty"`
	Exchange *Quantity `json:"exchange,omitempty"`
	BasePath *Quantity `json:"base_path,omitempty"`
	Lead     *Quantity `json:"lead,omitempty"`
	TopSpeed *Quantity `json:"top_speed,omitempty"`
	Tau      *Quantity `json:"tau,omitempty"`
	Reaction *Quantity `json:"reaction,omitempty"`

	// The throw, for the speed that would make the race even at this exchange.
	Distance      *Quantity `json:"distance,omitempty"` // base_path times √2 when left out: home to second
	ReleaseHeight *Quantity `json:"release_height,omitempty"`
	TargetHeight  *Quantity `json:"target_height,omitempty"`

	UPop      *Quantity `json:"u_pop,omitempty"`
	UDelivery *Quantity `json:"u_delivery,omitempty"`
	UTag      *Quantity `json:"u_tag,omitempty"`
	URunner   *Quantity `json:"u_runner,omitempty"`
	UTopSpeed *Quantity `json:"u_top_speed,omitempty"`
	UTau      *Quantity `json:"u_tau,omitempty"`
	UReaction *Quantity `json:"u_reaction,omitempty"`

	Age           *int  `json:"age,omitempty"`             // playing age in years, for the defaults
	RunnerMayLead *bool `json:"runner_may_lead,omitempty"` // by age when left out, true without an age
}

// keys leads from JSON keys to the request's quantities.
func (r *RaceRequest) keys() []keyed {
	return []keyed{
		{"pop", &r.Pop}, {"u_pop", &r.UPop}, {"delivery", &r.Delivery}, {"u_delivery", &r.UDelivery},
		{"tag", &r.Tag}, {"u_tag", &r.UTag}, {"runner", &r.Runner}, {"u_runner", &r.URunner},
		{"exchange", &r.Exchange}, {"base_path", &r.BasePath}, {"lead", &r.Lead},
		{"top_speed", &r.TopSpeed}, {"u_top_speed", &r.UTopSpeed}, {"tau", &r.Tau}, {"u_tau", &r.UTau},
		{"reaction", &r.Reaction}, {"u_reaction", &r.UReaction},
		{"distance", &r.Distance}, {"release_height", &r.ReleaseHeight}, {"target_height", &r.TargetHeight},
	}
}

// DecodeRaceRequest reads a request strictly; every slip has its JSON Pointer.
func DecodeRaceRequest(data []byte) (RaceRequest, []place.Problem) {
	var req RaceRequest
	problems := strictjson.Read(data, func(r *strictjson.Reader) {
		readKeyed(r, req.keys(), func(key string) bool {
			switch key {
			case "age":
				if !r.Null() {
					if age, ok := r.Int("a whole number of years"); ok {
						req.Age = &age
					}
				}
			case "runner_may_lead":
				if !r.Null() {
					if may, ok := r.Bool("true or false"); ok {
						req.RunnerMayLead = &may
					}
				}
			default:
				return false
			}
			return true
		}, "age", "runner_may_lead")
	})
	return req, problems
}

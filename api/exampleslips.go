package api

// exampleSlips show, in the OpenAPI document, what stands in errors[] of a kind
// of problem.
var exampleSlips = map[string]Slip{
	"not-json": {
		Code:    "not-json",
		Pointer: "/reps/0/measures",
		Found:   "invalid character 'N' at start of value after byte 120",
		Wanted:  "one JSON document in UTF-8",
	},
	"no-key": {
		Code:      "no-key",
		Parameter: "header.Authorization",
		Found:     "no key",
		Wanted:    "Bearer and a key of role read or larger",
	},
	"role-too-small": {
		Code:      "role-too-small",
		Parameter: "header.Authorization",
		Found:     "a key of role read",
		Wanted:    "role edit or larger",
	},
	"not-found": {
		Code:      "unknown-rubric",
		Parameter: "path.name",
		Found:     `the rubric "throw-to-secnd"`,
		Wanted:    "receiving or throw-to-second",
		Hint:      `did you mean "throw-to-second"?`,
	},
	"method-not-allowed": {
		Code:      "method-not-allowed",
		Parameter: "method",
		Found:     "GET",
		Wanted:    "POST",
	},
	"not-acceptable": {
		Code:      "not-acceptable",
		Parameter: "header.Accept",
		Found:     "text/csv",
		Wanted:    "application/json",
	},
	"media-type": {
		Code:      "media-type",
		Parameter: "header.Content-Type",
		Found:     "application/x-www-form-urlencoded",
		Wanted:    "application/json",
		Hint:      "curl sends this form unless told otherwise: add -H 'Content-Type: application/json'",
	},
	"not-valid": {
		Code:    "out-of-range",
		Pointer: "/player/age",
		Found:   "140",
		Wanted:  "the playing age in whole years, 1 to 99",
	},
	"key-reused": {
		Code:      "key-reused",
		Parameter: "header.Idempotency-Key",
		Found:     "the key of another request",
		Wanted:    "a new key for a new request",
	},
}

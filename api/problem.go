package api

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"

	"rootcue/engine/place"
	"rootcue/engine/strictjson"
)

// problemType is the media type of every error (RFC 9457).
const problemType = "application/problem+json"

// A Problem is an error as every route answers it (RFC 9457).
type Problem struct {
	Type      string `json:"type" doc:"What kind of problem it is: a stable reference to a page of this server" example:"/problems/not-valid"`
	Title     string `json:"title" doc:"The kind of problem in words; the same every time"`
	Status    int    `json:"status" doc:"The HTTP status"`
	Detail    string `json:"detail" doc:"What went wrong this time"`
	RequestID string `json:"request_id,omitempty" doc:"The request as the server's log names it, also in X-Request-Id"`
	Errors    []Slip `json:"errors" doc:"Every slip found, in the order of the document"`

	header http.Header // to be sent with it
	cause  error       // for the log only
}

// A Slip is one thing wrong with a request: where, what was found, what was
// wanted, what to do.
type Slip struct {
	Code      string `json:"code" doc:"Stable name of the kind of slip"`
	Pointer   string `json:"pointer,omitempty" doc:"JSON Pointer (RFC 6901) into the body; absent for the whole body, or where the slip is not in a JSON body"`
	Parameter string `json:"parameter,omitempty" doc:"The parameter it is in, such as query.limit or header.Accept"`
	File      string `json:"file,omitempty" doc:"The file it is in, where a document extends another"`
	Line      int    `json:"line,omitempty" doc:"Line of a YAML or CSV body, from 1"`
	Column    int    `json:"column,omitempty" doc:"Column in characters, from 1"`
	Found     string `json:"found" doc:"What stands there"`
	Wanted    string `json:"wanted" doc:"What may stand there"`
	Hint      string `json:"hint,omitempty" doc:"What to do about it"`
}

// Error is the problem in one line, for the log.
func (p *Problem) Error() string { return p.Title + ": " + p.Detail }

// Unwrap gives the cause that the log may show and an answer must not.
func (p *Problem) Unwrap() error { return p.cause }

// GetStatus is the HTTP status.
func (p *Problem) GetStatus() int { return p.Status }

// GetHeaders are the header fields sent with the problem.
func (p *Problem) GetHeaders() http.Header { return p.header }

// ContentType makes a problem's media type out of JSON's.
func (p *Problem) ContentType(string) string { return problemType }

// With adds a header field to be sent along.
func (p *Problem) With(name, value string) *Problem {
	if p.header == nil {
		p.header = http.Header{}
	}
	p.header.Set(name, value)
	return p
}

// Because keeps an error for the log; the caller never sees it.
func (p *Problem) Because(err error) *Problem {
	p.cause = err
	return p
}

// Say starts a problem of a kind.
func (k Kind) Say(format string, args ...any) *Problem {
	return &Problem{Type: "/problems/" + k.Name, Title: k.Title, Status: k.Status, Detail: fmt.Sprintf(format, args...), Errors: []Slip{}}
}

// At is a problem with one slip.
func (k Kind) At(slip Slip) *Problem {
	p := k.Say("%s", sentence(slip))
	p.Errors = []Slip{slip}
	return p
}

func sentence(s Slip) string {
	text := "found " + s.Found + ", wanted " + s.Wanted
	if s.Hint != "" {
		text += " (" + s.Hint + ")"
	}
	return text
}

// Refused is the problem for a document with slips: 400 if it is not JSON at
// all, else 422. Nil without a slip that is more than a warning.
func Refused(slips []place.Problem) error {
	if !place.Failed(slips) {
		return nil
	}
	kind := NotValid
	for i := range slips {
		if slips[i].Code == strictjson.CodeSyntax {
			kind = NotJSON
		}
		slips[i].Pointer = shortPointer(slips[i].Pointer)
	}
	p := kind.Say("%s", slips[0].Summary())
	if len(slips) > 1 {
		p.Detail += fmt.Sprintf(", and %d more", len(slips)-1)
	}
	for _, s := range slips[:min(len(slips), mostSlips)] {
		p.Errors = append(p.Errors, slipOf(s))
	}
	return p
}

// mostSlips bounds the slips of one problem; its detail counts those left out.
const mostSlips = 1000

// A tale is what is told of the lines of one answer: all that is wrong with them
// up to a bound, of the lines after that what comes first.
type tale struct{ told int }

// of is the problem of a line, nil without one.
func (t *tale) of(slips []place.Problem) *Problem {
	p := asProblem(Refused(slips))
	if p == nil {
		return nil
	}
	if t.told += len(p.Errors); t.told > mostSlips {
		p.Errors = []Slip{p.Errors[0]}
	}
	return p
}

// mostPointer bounds the pointers in an answer, in bytes: a body of nothing but
// brackets would else be sent back many times over.
const mostPointer = 1000

// shortPointer leads as deep towards the place as the bound allows.
func shortPointer(p string) string {
	if len(p) <= mostPointer {
		return p
	}
	return p[:max(strings.LastIndexByte(p[:mostPointer], '/'), 0)]
}

func slipOf(s place.Problem) Slip {
	return Slip{Code: s.Code, Pointer: s.Pointer, File: s.File, Line: s.Line, Column: s.Column, Found: s.Found, Wanted: s.Wanted, Hint: s.Hint}
}

// failed turns an error of a handler into the problem it is answered with.
// What is no Problem is the server's own trouble: its text goes to the log.
func failed(err error) *Problem {
	var p *Problem
	var tooLarge *http.MaxBytesError
	var slow net.Error
	switch {
	case errors.As(err, &p):
		return p
	case clubProblem(err) != nil:
		return clubProblem(err)
	case errors.As(err, &tooLarge):
		return TooLarge.Say("the body is larger than %d bytes", tooLarge.Limit).With("Connection", "close")
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return NotJSON.Say("the body ended before its announced length")
	case errors.As(err, &slow) && slow.Timeout():
		return Timeout.Say("the body did not arrive in time")
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return Unavailable.Say("the request was given up before it was done").With("Retry-After", "1").Because(err)
	}
	return Internal.Say("something went wrong on the server; its log says more under this request's id").Because(err)
}

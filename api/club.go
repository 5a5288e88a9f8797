package api

import (
	"context"
	"errors"
	"time"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

// clubRole is the role a route asks for on a server that keeps clubs; on one
// that does not, nobody has a key.
func (s *Server) clubRole(r Role) Role {
	if s.Clubs == nil {
		return Open
	}
	return r
}

// actor is who called, as the use cases want to know it.
func actor(ctx context.Context) club.Actor {
	p, _ := PrincipalOf(ctx)
	return club.Actor{Club: p.Club, KeyID: p.KeyID, Limited: p.Role < Submit, Health: p.Role >= Edit, Admin: p.Role >= Admin}
}

// clubProblem is the problem for an error of the use cases or their store; nil
// for any other.
func clubProblem(err error) *Problem {
	var refusal *club.Refusal
	var closed *club.Closed
	switch {
	case errors.As(err, &refusal):
		return asProblem(Refused(refusal.Slips))
	case errors.As(err, &closed):
		return Conflict.Say("the tryout was closed on %s and takes nothing more; an instructor or admin can reopen it at /reopen, with a reason", closed.At)
	case errors.Is(err, club.ErrBadCursor):
		return NotValid.At(Slip{Code: "bad-cursor", Parameter: "query.next", Found: "a cursor that this list did not give", Wanted: "the `next` of the page before, with the same filter", Hint: "leave it out to start at the beginning"})
	case errors.Is(err, club.ErrChanged):
		return Changed.Say("it is no longer what the If-Match header field names; read it again and repeat the change")
	case errors.Is(err, club.ErrNoJobs):
		return Unavailable.Say("this server does not run work that outlives a request").With("Retry-After", "3600")
	case errors.Is(err, store.ErrNotFound):
		return NotFound.Say("nothing with this name or id is here")
	case errors.Is(err, store.ErrConflict):
		return Conflict.Say("something with this name is here already, or it changed meanwhile").Because(err)
	case errors.Is(err, store.ErrInvalid):
		return NotValid.Say("a value is none that can be kept").Because(err)
	case errors.Is(err, store.ErrReadOnly):
		return Unavailable.Say("the database takes no writes at the moment").With("Retry-After", "30").Because(err)
	case errors.Is(err, store.ErrDamaged): // so SQLite calls a read that failed, too
		return Unavailable.Say("the database cannot be read at the moment; whoever runs the server finds more in its log").With("Retry-After", "60").Because(err)
	case errors.Is(err, store.ErrUnavailable):
		return Unavailable.Say("the database does not answer at the moment").With("Retry-After", "5").Because(err)
	}
	return recordProblem(err)
}

// asProblem gives the problem that an error is, nil without one.
func asProblem(err error) *Problem {
	var p *Problem
	errors.As(err, &p)
	return p
}

// clubKeys finds principals by the keys of clubs.
type clubKeys struct{ clubs *club.Clubs }

// Authenticate implements Authenticator.
func (k clubKeys) Authenticate(ctx context.Context, bearer string) (Principal, error) {
	id, key, err := k.clubs.Authenticate(ctx, bearer)
	if errors.Is(err, club.ErrBadKey) {
		return Principal{}, ErrBadKey
	}
	role, _ := ParseRole(key.Role)
	return Principal{Club: id, KeyID: key.ID, Role: role}, err
}

// clubRubrics gives the caller's club's rubrics, and those of the server to
// callers without a club.
type clubRubrics struct {
	clubs  *club.Clubs
	server Rubrics
}

// Names implements Rubrics.
func (r clubRubrics) Names(ctx context.Context) ([]string, error) {
	if _, known := PrincipalOf(ctx); !known {
		return r.server.Names(ctx)
	}
	list, err := r.clubs.Rubrics(ctx, actor(ctx))
	names := make([]string, len(list))
	for i, v := range list {
		names[i] = v.Name
	}
	return names, err
}

// Rubric implements Rubrics.
func (r clubRubrics) Rubric(ctx context.Context, name string) (*Published, error) {
	if _, known := PrincipalOf(ctx); !known {
		return r.server.Rubric(ctx, name)
	}
	v, err := r.clubs.Rubric(ctx, actor(ctx), name, 0)
	if errors.Is(err, store.ErrNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return &Published{Rubric: v.Rubric, Version: v.Version, Source: v.Source, Warnings: v.Warnings}, nil
}

// clubAnswers keeps answers with the club's data.
type clubAnswers struct{ clubs *club.Clubs }

func (a clubAnswers) write(ctx context.Context, p Principal, fn func(store.Tx) error) error {
	return a.clubs.Store.InTx(ctx, p.Club, fn)
}

// Begin implements Answers.
func (a clubAnswers) Begin(ctx context.Context, p Principal, key, route, bodyHash string, keep time.Duration) (kept *KeptAnswer, err error) {
	err = a.write(ctx, p, func(tx store.Tx) error {
		known, err := tx.BeginAnswer(ctx, store.Answer{Key: key, Route: route, BodyHash: bodyHash, Expires: store.At(tx.Now().Add(keep))})
		if known != nil {
			kept = &KeptAnswer{known.BodyHash, known.InFlight, known.Status, known.ContentType, []byte(known.Body)}
		}
		return err
	})
	return kept, err
}

// Finish implements Answers.
func (a clubAnswers) Finish(ctx context.Context, p Principal, key, route string, k KeptAnswer) error {
	return a.write(ctx, p, func(tx store.Tx) error {
		return tx.FinishAnswer(ctx, store.Answer{Key: key, Route: route, BodyHash: k.BodyHash, Status: k.Status, ContentType: k.ContentType, Body: string(k.Body), Expires: store.At(tx.Now().Add(keepAnswers))})
	})
}

// Drop implements Answers.
func (a clubAnswers) Drop(ctx context.Context, p Principal, key string) error {
	return a.write(ctx, p, func(tx store.Tx) error { return tx.DropAnswer(ctx, key) })
}

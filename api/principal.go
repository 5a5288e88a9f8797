package api

import (
	"context"
	"errors"
)

// A Principal is who calls, known by the key sent along.
type Principal struct {
	Club  string // id of the club whose data the key opens
	KeyID string
	Role  Role
}

// ErrBadKey is what an Authenticator says of a key that is unknown, expired or
// revoked. Which of the three is nobody's business.
var ErrBadKey = errors.New("no such key")

// An Authenticator finds who a bearer token belongs to, else ErrBadKey. Any
// other error is the server's trouble, not the caller's.
type Authenticator interface {
	Authenticate(ctx context.Context, bearer string) (Principal, error)
}

type principalKey struct{}

func withPrincipal(ctx context.Context, p Principal) context.Context {
	return context.WithValue(ctx, principalKey{}, p)
}

// PrincipalOf is who called; false on an open route.
func PrincipalOf(ctx context.Context) (Principal, bool) {
	p, ok := ctx.Value(principalKey{}).(Principal)
	return p, ok
}

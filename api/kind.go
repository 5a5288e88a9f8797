package api

// A Kind is a kind of problem: a stable name, the last part of its type URI.
type Kind struct {
	Name   string
	Status int
	Title  string
	Help   string // what a developer should do, for the problem's page
}

// The kinds of problem. Programs match on type; a kind is never renamed.
var (
	NotJSON      = Kind{"not-json", 400, "The body is not JSON", "Send one JSON document in UTF-8 and nothing behind it. errors[] says after which byte the reading stopped."}
	NoKey        = Kind{"no-key", 401, "No good key", "Send Authorization: Bearer followed by a key. Keys are made with rootcue key add, or by an admin at /v1/keys; an expired or revoked key gets the same answer as an unknown one."}
	RoleTooSmall = Kind{"role-too-small", 403, "The key may not do this", "The operation needs a larger role than the key has; the roles are read, submit, edit, admin, each including the ones before."}
	NotFound     = Kind{"not-found", 404, "Nothing there", "No such resource, or it belongs to another club. /openapi.json lists every path."}
	BadMethod    = Kind{"method-not-allowed", 405, "The path does not take this method", "The Allow header field lists the methods it takes."}
	NotAccepted  = Kind{"not-acceptable", 406, "No answer in an accepted form", "errors[] lists the media types the operation answers in; leave Accept out to get the first of them."}
	Timeout      = Kind{"too-slow", 408, "The body came too slowly", "Send the body without long pauses, or in smaller parts."}
	Conflict     = Kind{"conflict", 409, "It conflicts with what is stored", "Something with this name is there already, or it changed since you read it. Read it again and repeat the change."}
	InFlight     = Kind{"in-flight", 409, "The same request is still being answered", "A request with this Idempotency-Key has not been answered yet. Wait as long as Retry-After says and send it again."}
	Changed      = Kind{"changed-since", 412, "It changed since you read it", "The If-Match header field names another version than the newest. Read it again and repeat the change."}
	TooLarge     = Kind{"too-large", 413, "The body is too large", "Send at most 1 MiB, counted after gzip is undone, or send a batch in parts."}
	BadMedia     = Kind{"media-type", 415, "The body is in a form this operation does not read", "Set Content-Type to one of the media types in errors[]; bodies may be sent plain or with Content-Encoding: gzip."}
	NotValid     = Kind{"not-valid", 422, "The document is not valid", "errors[] lists every slip with its place, what was found, what was wanted and what to do. Nothing was kept."}
	KeyReused    = Kind{"key-reused", 422, "The Idempotency-Key was used for another request", "Use a new key for each new request, and the old one only to repeat the very same request."}
	NeedsMatch   = Kind{"needs-if-match", 428, "The change must say what it builds on", "Read the resource and send its ETag in If-Match, so that nobody's change is lost."}
	TooMany      = Kind{"too-many", 429, "Too many requests", "Wait as long as Retry-After says. RateLimit and RateLimit-Policy tell how much is left."}
	Internal     = Kind{"internal", 500, "The server failed", "It is not your mistake. The server's log says more under request_id."}
	Unavailable  = Kind{"unavailable", 503, "Not available at the moment", "The same request may succeed later; wait as long as Retry-After says."}
)

// Kinds lists every kind of problem.
var Kinds = []Kind{
	NotJSON, NoKey, RoleTooSmall, NotFound, BadMethod, NotAccepted, Timeout, Conflict, InFlight, Changed,
	TooLarge, BadMedia, NotValid, KeyReused, NeedsMatch, TooMany, Internal, Unavailable,
}

// kindOf is the first kind of a status, Internal for a status that has none.
func kindOf(status int) Kind {
	for _, k := range Kinds {
		if k.Status == status {
			return k
		}
	}
	return Internal
}

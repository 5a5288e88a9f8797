package store

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"strconv"
)

// A Change is one entry of a club's log of who changed what. Each entry's hash
// covers the one before, so that a change of any entry shows.
//
// Detail and Entity must hold no reference of a player: a player is spoken of
// as "player/" and the surrogate Player.ID, other rows by their ids.
type Change struct {
	Seq      int64  `db:"seq" json:"seq"` // from 1, without gaps, in the club
	At       Time   `db:"at" json:"at"`
	Who      string `db:"who" json:"who"`       // id of a key, or "system"
	What     string `db:"what" json:"what"`     // such as "rubric.published"
	Entity   string `db:"entity" json:"entity"` // such as "assessment/0197…"
	Detail   JSON   `db:"detail" json:"detail"`
	PrevHash string `db:"prev_hash" json:"prev_hash"` // "" for the first
	Hash     string `db:"hash" json:"hash"`
}

// Log is the change log.
type Log interface {
	// TakeTurn makes writers of one club take turns from here to the end of the
	// transaction: what is read after it holds until then.
	TakeTurn(ctx context.Context) error

	// AppendChanges logs in order. Writers of one club take turns from here to
	// the end of the transaction, so call it last. Seq, At and hashes are filled in.
	AppendChanges(ctx context.Context, changes []Change) error

	// Changes lists newest first, those before the given seq; 0 starts at the end.
	Changes(ctx context.Context, before int64, limit int) ([]Change, error)

	// VerifyChanges recomputes the chain and gives the number of entries, or
	// ErrBrokenLog with the seq at which it breaks.
	VerifyChanges(ctx context.Context) (int64, error)
}

// ChainHash is the hash of c after an entry with hash prev: SHA-256, in hex, of
// prev, club and the fields in order, each as its length in decimal, a colon
// and its bytes, so that no two entries share an encoding.
func ChainHash(club, prev string, c Change) string {
	h := sha256.New()
	detail := string(c.Detail)
	if detail == "" {
		detail = "{}"
	}
	for _, f := range []string{prev, club, strconv.FormatInt(c.Seq, 10), c.At.String(), c.Who, c.What, c.Entity, detail} {
		h.Write([]byte(strconv.Itoa(len(f)) + ":" + f))
	}
	return hex.EncodeToString(h.Sum(nil))
}

// ErasureProof is what the log says of an erased reference: HMAC-SHA-256 of ref
// under the club's log key, in hex. Whoever knows the reference and the key can
// show that it was erased; the proof alone tells nothing.
func ErasureProof(logKey, ref string) string {
	m := hmac.New(sha256.New, []byte(logKey))
	m.Write([]byte(ref))
	return hex.EncodeToString(m.Sum(nil))
}

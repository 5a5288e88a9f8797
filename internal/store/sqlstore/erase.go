package sqlstore

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"rootcue/internal/store"
)

// A deletion names rows of a table that belong to one player; the placeholder
// is the player's reference.
type deletion struct{ table, where string }

const (
	ofAssessments = "assessment_id IN (SELECT a.id FROM assessments a WHERE a.club_id = @club AND a.player_ref = ?)"
	ofBibs        = "(tryout_id, bib) IN (SELECT r.tryout_id, r.bib FROM roster r WHERE r.club_id = @club AND r.player_ref = ?)"
	ofPlayer      = "player_ref = ?"
)

// deletions come in an order in which no row is left that refers to a deleted one.
var deletions = []deletion{
	{"verdicts", ofAssessments},
	{"fresh_verdicts", ofAssessments},
	{"reviews", ofAssessments},
	{"links", ofAssessments},
	{"exports", ofPlayer}, // with their parts
	{"cues", ofPlayer},
	{"throws", ofPlayer},
	{"deliveries", ofPlayer},
	{"assessments", ofPlayer},
	{"observations", ofPlayer},
	{"grades", ofBibs},
	{"recusals", ofBibs},
	{"decisions", ofBibs},
	{"roster", ofPlayer},
	{"group_members", ofPlayer},
	{"players", "ref = ?"},
}

// ErasePlayer implements store.Players.
func (t *tx) ErasePlayer(ctx context.Context, ref, who string) (store.Erasure, error) {
	player, err := t.lockPlayer(ctx, ref)
	if err != nil {
		return store.Erasure{}, err
	}
	club, err := t.Club(ctx)
	if err != nil {
		return store.Erasure{}, err
	}
	e := store.Erasure{PlayerID: player.ID, Deleted: map[string]int{}, Proof: store.ErasureProof(club.LogKey, ref)}
	for _, d := range deletions {
		if err := t.count(ctx, e.Deleted, d, ref); err != nil {
			return e, err
		}
	}
	if err := t.count(ctx, e.Deleted, deletion{"exports", "player_ref IS NULL"}); err != nil { // those of the whole club hold the player
		return e, err
	}
	if err := t.eraseAnswers(ctx, e.Deleted, ref); err != nil {
		return e, err
	}
	t.erased = true
	detail, err := json.Marshal(e)
	if err != nil {
		return e, err
	}
	return e, t.AppendChanges(ctx, []store.Change{{Who: who, What: "player.erased", Entity: "player/" + player.ID, Detail: detail}})
}

// lockPlayer reads the player's row and keeps new rows from referring to it. It
// must be one statement: a player made between two would go unlocked.
func (t *tx) lockPlayer(ctx context.Context, ref string) (store.Player, error) {
	found, err := list[store.Player](ctx, t, "players", "AND ref = ?"+t.db.dialect.forDelete(), ref)
	if err == nil && len(found) == 0 {
		err = fmt.Errorf("%w in players: %s", store.ErrNotFound, ref)
	}
	if err != nil {
		return store.Player{}, err
	}
	return found[0], nil
}

// eraseAnswers drops kept answers that hold the reference, as it stands or as
// JSON writes it. One of another player may go with them: a request repeated
// then is answered anew, which harms nobody.
func (t *tx) eraseAnswers(ctx context.Context, deleted map[string]int, ref string) error {
	for _, form := range writings(ref) {
		if err := t.count(ctx, deleted, deletion{"answers", t.db.dialect.contains("body")}, form); err != nil {
			return err
		}
	}
	return nil
}

// writings are the ways in which a reference stands in an answer: plain, as
// JSON, and as JSON that is safe within HTML.
func writings(ref string) []string {
	forms := []string{ref}
	for _, safe := range []bool{false, true} {
		var b strings.Builder
		e := json.NewEncoder(&b)
		e.SetEscapeHTML(safe)
		if e.Encode(ref) == nil { // a string never fails
			forms = append(forms, b.String()[1:b.Len()-2])
		}
	}
	return forms
}

// count deletes and adds the number of rows, if any, to the account.
func (t *tx) count(ctx context.Context, deleted map[string]int, d deletion, args ...any) error {
	n, err := t.remove(ctx, d.table, d.where, args...)
	if n > 0 {
		deleted[d.table] += int(n)
	}
	return err
}

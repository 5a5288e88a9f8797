package club_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

func ptr[T any](v T) *T { return &v }

func always(store.Player, bool) bool { return true }

func TestPutPlayer(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		a, website := member(t, c, "Harbour", "submit"), member(t, c, "Harbour", "read")
		p, made, err := c.PutPlayer(ctx, a, store.Player{Ref: "P-1", Age: ptr(12), StatureCM: ptr(151.0), Groups: store.Strings{"u12"}}, always)
		if err != nil || !made || p.AgeOn == nil {
			t.Fatalf("%+v %v %v", p, made, err)
		}
		if _, _, err := c.PutPlayer(ctx, a, store.Player{Ref: "P-1"}, func(_ store.Player, there bool) bool { return !there }); !errors.Is(err, club.ErrChanged) {
			t.Errorf("made twice: %v", err)
		}
		if _, made, err = c.PutPlayer(ctx, a, store.Player{Ref: "P-1", Throws: ptr("left")}, always); err != nil || made {
			t.Fatal(made, err)
		}
		got, err := c.Player(ctx, a, "P-1")
		if err != nil || got.StatureCM != nil || *got.Throws != "left" || len(got.Groups) != 0 {
			t.Errorf("the whole is replaced: %+v, %v", got, err)
		}
		log, err := c.Changes(ctx, a, "", 1)
		if err != nil || log.Items[0].What != "player.changed" || strings.Contains(string(log.Items[0].Detail)+log.Items[0].Entity, "P-1") {
			t.Errorf("the log: %+v, %v", log.Items, err)
		}
		if diff := cmp.Diff(`{"fields":["age","throws","stature_cm","groups"]}`, strings.ReplaceAll(string(log.Items[0].Detail), " ", "")); diff != "" {
			t.Error(diff)
		}
		if _, _, err := c.PutPlayer(ctx, a, store.Player{Ref: "P-1", StatureCM: ptr(160.0), StatureOn: ptr("2026-05-01")}, always); err != nil {
			t.Fatal(err)
		}
		if got, err := c.Player(ctx, website, "P-1"); err != nil || got.StatureCM != nil || got.StatureOn != nil {
			t.Errorf("role read sees %+v, %v", got, err)
		}
	})
}

func TestPlayerRefused(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "submit")
	for pointer, p := range map[string]store.Player{
		"/born": {Born: ptr("2012-13")}, "/stature_on": {StatureOn: ptr("2026-02-30")}, "/age_on": {AgeOn: ptr("9.5.2026")}, "/consent_on": {ConsentOn: ptr("")},
	} {
		p.Ref = "P-1"
		_, _, err := c.PutPlayer(ctx, a, p, always)
		if r := new(club.Refusal); !errors.As(err, &r) || r.Slips[0].Pointer != pointer {
			t.Errorf("%s: found %v", pointer, err)
		}
	}
	if _, err := c.Player(ctx, a, "P-1"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("what was refused is kept: %v", err)
	}
}

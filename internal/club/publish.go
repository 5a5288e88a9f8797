package club

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"time"

	"rootcue/engine"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/internal/store"
)

// A Publication is a rubric's next version, and why.
type Publication struct {
	Name          string
	Source        []byte
	Base          int    // the version it was made from, 0 for a new rubric
	Why           string // for the history
	EffectiveFrom string // date from which it judges what comes in, in the club's time zone; "" for today
}

// Publish keeps a rubric file as the next version and makes it the active one.
// The file must compile and its examples must hold, else it is a Refusal with
// every problem. When the active version is not the base, the answer is
// ErrChanged. The active version's own bytes make no new version.
func (c *Clubs) Publish(ctx context.Context, a Actor, p Publication) (v *Version, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		v, err = c.publish(ctx, tx, a, p)
		return err
	})
	return v, err
}

func (c *Clubs) publish(ctx context.Context, tx store.Tx, a Actor, p Publication) (*Version, error) {
	if err := tx.TakeTurn(ctx); err != nil {
		return nil, err
	}
	active, err := tx.ActiveDocument(ctx, store.KindRubric, p.Name)
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return nil, err
	}
	if active.Version != p.Base {
		return nil, fmt.Errorf("%w: version %d is active, the change was made from %d", ErrChanged, active.Version, p.Base)
	}
	today, err := todayOf(ctx, tx)
	if err != nil {
		return nil, err
	}
	if p.EffectiveFrom == "" {
		p.EffectiveFrom = today
	}
	bases, err := checkPublication(ctx, tx, p)
	if err != nil {
		return nil, err
	}
	if sum := sha256.Sum256(p.Source); active.SHA256 == hex.EncodeToString(sum[:]) {
		judging, err := c.inForce(ctx, tx, p.Name)
		if err != nil {
			return nil, err
		}
		if p.EffectiveFrom == active.EffectiveFrom || p.EffectiveFrom <= today && judging.Document.Version == active.Version {
			return c.compile(ctx, tx, active)
		}
	}
	if p.EffectiveFrom > today {
		bases[p.Name] = true // it judges on until then
	}
	for _, name := range slices.Sorted(maps.Keys(bases)) {
		if err := confirm(ctx, tx, a, name, today); err != nil {
			return nil, err
		}
	}
	newest, err := newestVersion(ctx, tx, p.Name)
	if err != nil {
		return nil, err
	}
	d := store.Document{Kind: store.KindRubric, Name: p.Name, Source: p.Source, Who: a.KeyID, Why: p.Why, EffectiveFrom: p.EffectiveFrom}
	if d, err = tx.Publish(ctx, d, newest); err != nil {
		return nil, err
	}
	v, err := compileNew(ctx, tx, d)
	if err != nil {
		return nil, err
	}
	return v, logPublished(ctx, tx, a, d)
}

// confirm publishes the active version of a rubric once more where it was gone
// back to. By their dates a later one would come before it: until the day of the
// next, and in what extends it.
func confirm(ctx context.Context, tx store.Tx, a Actor, name, today string) error {
	d, err := tx.ActiveDocument(ctx, store.KindRubric, name)
	if errors.Is(err, store.ErrNotFound) { // it is new
		return nil
	}
	if err != nil {
		return err
	}
	newest, err := newestVersion(ctx, tx, name)
	if err != nil || newest == d.Version {
		return err
	}
	d.Who, d.Why, d.At, d.EffectiveFrom = a.KeyID, fmt.Sprintf("version %d again, which was gone back to", d.Version), store.Time{}, max(d.EffectiveFrom, today)
	if d, err = tx.Publish(ctx, d, newest); err != nil {
		return err
	}
	return logPublished(ctx, tx, a, d)
}

func logPublished(ctx context.Context, tx store.Tx, a Actor, d store.Document) error {
	return logged(ctx, tx, a.KeyID, "rubric.published", "rubric/"+d.Name, map[string]any{"version": d.Version, "sha256": d.SHA256, "why": d.Why, "effective_from": d.EffectiveFrom})
}

// newestVersion is the highest version of a rubric, 0 without one.
func newestVersion(ctx context.Context, tx store.Tx, name string) (int, error) {
	versions, err := tx.Versions(ctx, store.KindRubric, name)
	if err != nil || len(versions) == 0 {
		return 0, err
	}
	return versions[0].Version, nil
}

// checkPublication refuses what no one should be judged by, and names the
// rubrics that it extends.
func checkPublication(ctx context.Context, tx store.Tx, p Publication) (bases map[string]bool, err error) {
	if len(p.Why) > 2000 {
		return nil, refuse("too-long", "/why", fmt.Sprintf("%d bytes", len(p.Why)), "a reason of at most 2000 bytes", "")
	}
	if _, err := time.Parse(time.DateOnly, p.EffectiveFrom); err != nil {
		return nil, refuse("bad-date", "/effective_from", strconv.Quote(p.EffectiveFrom), "a date such as 2026-05-09", "")
	}
	bases = map[string]bool{}
	r, _, slips := engine.CheckRubric(p.Name+".yaml", p.Source, basesOn(ctx, tx, p.EffectiveFrom, bases))
	if r != nil && r.Name != p.Name {
		slips = append(slips, place.Problem{Code: "other-name", File: p.Name + ".yaml", Line: 1, Column: 1, Found: "a file of the rubric " + r.Name, Wanted: "rubric: " + p.Name, Hint: "publish it under its own name"})
	}
	if place.Failed(slips) {
		return nil, &Refusal{slips}
	}
	return bases, nil
}

// An Edit changes limits of a rubric in place: only the numbers change, what
// else stands in the file stays to the byte.
type Edit struct {
	Name          string
	Limits        []rubric.LimitEdit
	Base          int
	Why           string
	EffectiveFrom string
}

// EditLimits publishes the active version with other limits. Slips point into
// the list of edits.
func (c *Clubs) EditLimits(ctx context.Context, a Actor, e Edit) (v *Version, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil {
			return err
		}
		src, err := edited(ctx, tx, e.Name, e.Limits)
		if err != nil {
			return err
		}
		v, err = c.publish(ctx, tx, a, Publication{e.Name, src, e.Base, e.Why, e.EffectiveFrom})
		return err
	})
	return v, err
}

// edited is the active version's file with other limits.
func edited(ctx context.Context, tx store.Tx, name string, limits []rubric.LimitEdit) ([]byte, error) {
	active, err := tx.ActiveDocument(ctx, store.KindRubric, name)
	if err != nil {
		return nil, err
	}
	if len(limits) == 0 {
		return nil, refuse("missing-key", "/limits", "no limits", "at least one: {\"fault\": …, \"band\": …, \"at_most\": …}", "")
	}
	src, slips := rubric.SetLimits(name+".yaml", active.Source, basesOf(ctx, tx, active), limits)
	if place.Failed(slips) {
		for i := range slips {
			if slips[i].Line == 0 {
				slips[i].Pointer = "/limits" + slips[i].Pointer
			}
		}
		return nil, &Refusal{slips}
	}
	return src, nil
}

// Edited is the active version's file with other limits, published nowhere.
func (c *Clubs) Edited(ctx context.Context, a Actor, name string, limits []rubric.LimitEdit) (src []byte, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		src, err = edited(ctx, tx, name, limits)
		return err
	})
	return src, err
}

// Activate makes another version of a rubric the active one: to go back, or
// forward again. base is the version that was active when this was decided.
func (c *Clubs) Activate(ctx context.Context, a Actor, name string, version, base int, why string) (v *Version, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil {
			return err
		}
		active, err := tx.ActiveDocument(ctx, store.KindRubric, name)
		if err != nil {
			return err
		}
		if active.Version != base {
			return fmt.Errorf("%w: version %d is active, the change was made from %d", ErrChanged, active.Version, base)
		}
		if v, err = c.version(ctx, tx, name, version); err != nil || version == base {
			return err
		}
		if err := tx.Activate(ctx, store.KindRubric, name, version); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "rubric.activated", "rubric/"+name, map[string]any{"version": version, "before": base, "why": why})
	})
	return v, err
}

// Rubrics gives the active version of every rubric, by name.
func (c *Clubs) Rubrics(ctx context.Context, a Actor) (list []*Version, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		docs, err := tx.ActiveDocuments(ctx, store.KindRubric)
		for _, d := range docs {
			v, err := c.compile(ctx, tx, d)
			if err != nil {
				return err
			}
			list = append(list, v)
		}
		return err
	})
	return list, err
}

// Rubric gives a version of a rubric; 0 means the active one.
func (c *Clubs) Rubric(ctx context.Context, a Actor, name string, version int) (v *Version, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		v, err = c.version(ctx, tx, name, version)
		return err
	})
	return v, err
}

// A History is all versions of a rubric, newest first, and which is active.
type History struct {
	Versions []store.Document
	Active   int
}

// History lists all versions of a rubric.
func (c *Clubs) History(ctx context.Context, a Actor, name string) (h History, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		active, err := tx.ActiveDocument(ctx, store.KindRubric, name)
		if err != nil {
			return err
		}
		h.Active = active.Version
		h.Versions, err = tx.Versions(ctx, store.KindRubric, name)
		return err
	})
	return h, err
}

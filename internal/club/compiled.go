package club

import (
	"context"
	"fmt"
	"strconv"
	"sync"
	"time"

	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/internal/store"
)

// A Version is one version of a rubric, ready to judge by.
type Version struct {
	store.Document
	Rubric   *rubric.Rubric
	Warnings []place.Problem
}

// compiled keeps the versions compiled so far. A version never changes, so
// that nothing in it grows stale.
type compiled struct {
	mu sync.Mutex
	by map[string]*Version
}

// mostCompiled bounds the cache; a compiled rubric takes about a megabyte.
const mostCompiled = 64

func (c *compiled) get(key string) *Version {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.by[key]
}

func (c *compiled) put(key string, v *Version) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.by == nil || len(c.by) >= mostCompiled {
		c.by = map[string]*Version{}
	}
	c.by[key] = v
}

// inForce gives the version of a rubric that judges what comes in today: the
// active one, or before its effective date the newest earlier one that is
// effective already. A day begins when it does in the club's time zone.
func (c *Clubs) inForce(ctx context.Context, tx store.Tx, name string) (*Version, error) {
	v, err := c.version(ctx, tx, name, 0)
	if err != nil || v.EffectiveFrom <= store.At(tx.Now().Add(-dayBehind)).Date() {
		return v, err // it is so everywhere
	}
	today, err := todayOf(ctx, tx)
	if err != nil || v.EffectiveFrom <= today {
		return v, err
	}
	d, err := effective(ctx, tx, v.Document, today)
	if err != nil {
		return nil, err
	}
	return c.compile(ctx, tx, d)
}

// dayBehind is more than any time zone is behind UTC.
const dayBehind = 24 * time.Hour

// effective finds what holds until the effective date of d: the newest version
// before it that is effective today, or else the one that is so first.
func effective(ctx context.Context, tx store.Tx, d store.Document, today string) (store.Document, error) {
	versions, err := tx.Versions(ctx, d.Kind, d.Name)
	first := d
	for _, v := range versions {
		if v.Version < d.Version && v.EffectiveFrom <= today {
			return v, nil
		}
		if v.Version < d.Version && v.EffectiveFrom <= first.EffectiveFrom {
			first = v
		}
	}
	return first, err
}

// version gives one version of a rubric; 0 means the active one.
func (c *Clubs) version(ctx context.Context, tx store.Tx, name string, n int) (*Version, error) {
	if n == 0 {
		var err error
		if n, err = tx.ActiveVersion(ctx, store.KindRubric, name); err != nil {
			return nil, err
		}
	}
	if v := c.compiled.get(versionKey(tx.ClubID(), name, n)); v != nil {
		return v, nil
	}
	d, err := tx.Document(ctx, store.KindRubric, name, n)
	if err != nil {
		return nil, err
	}
	return c.compile(ctx, tx, d)
}

func versionKey(club, name string, n int) string { return club + " " + name + " " + strconv.Itoa(n) }

// compile compiles a stored version, once. One that this transaction publishes
// is for compileNew: were it kept and the transaction failed, its number would
// stand for another file.
func (c *Clubs) compile(ctx context.Context, tx store.Tx, d store.Document) (*Version, error) {
	key := versionKey(tx.ClubID(), d.Name, d.Version)
	if v := c.compiled.get(key); v != nil {
		return v, nil
	}
	v, err := compileNew(ctx, tx, d)
	if err == nil {
		c.compiled.put(key, v)
	}
	return v, err
}

// compileNew compiles a version for the caller alone.
func compileNew(ctx context.Context, tx store.Tx, d store.Document) (*Version, error) {
	r, problems := rubric.Parse(d.Name+".yaml", d.Source, basesOf(ctx, tx, d))
	if r == nil {
		return nil, fmt.Errorf("rubric %s version %d does not compile any more: %s", d.Name, d.Version, problems[0].Summary())
	}
	return &Version{d, r, problems}, nil
}

// basesOf finds the rubrics that a stored version extends, as they stood for its
// first day when it was published: a version means the same for ever, whatever
// becomes of its base.
func basesOf(ctx context.Context, tx store.Tx, d store.Document) func(string) ([]byte, bool) {
	return func(name string) (src []byte, ok bool) {
		versions, err := tx.Versions(ctx, store.KindRubric, name)
		if err != nil {
			return nil, false
		}
		for _, v := range versions {
			if v.At.After(d.At.Time) {
				continue
			}
			if src, ok = v.Source, true; v.EffectiveFrom <= d.EffectiveFrom {
				break
			}
		}
		return src, ok
	}
}

// basesOn finds the rubrics that one published now extends, as they will be in
// force on its first day, and notes their names.
func basesOn(ctx context.Context, tx store.Tx, day string, names map[string]bool) func(string) ([]byte, bool) {
	return func(name string) ([]byte, bool) {
		d, err := tx.ActiveDocument(ctx, store.KindRubric, name)
		if err == nil && d.EffectiveFrom > day {
			d, err = effective(ctx, tx, d, day)
		}
		names[name] = true
		return d.Source, err == nil
	}
}

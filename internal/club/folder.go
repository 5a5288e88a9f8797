package club

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"maps"
	"slices"

	"rootcue/internal/store"
)

// A Published is a rubric file that became a version.
type Published struct {
	Club, Rubric string
	Version      int
}

// PublishFolder publishes the rubric files of a folder, by name, into every
// club. A file that a club has had as a version before is left alone, so that
// what was edited since stays. What one club refuses keeps no other from it;
// the error tells all that failed.
func (c *Clubs) PublishFolder(ctx context.Context, files map[string][]byte) (list []Published, err error) {
	clubs, err := c.Store.Clubs(ctx)
	if err != nil {
		return nil, err
	}
	for _, own := range clubs {
		waiting := slices.Sorted(maps.Keys(files))
		for len(waiting) > 0 { // a rubric may have to wait for the one it extends
			var failed []string
			var why error
			for _, name := range waiting {
				p, err := c.publishFile(ctx, own, name, files[name])
				if err != nil {
					failed, why = append(failed, name), errors.Join(why, fmt.Errorf("club %s, %s.yaml: %w", own.Name, name, err))
				} else if p != nil {
					list = append(list, *p)
				}
			}
			if len(failed) == len(waiting) {
				err = errors.Join(err, why)
				break
			}
			waiting = failed
		}
	}
	return list, err
}

// publishFile publishes one file into one club; nil where it was known.
func (c *Clubs) publishFile(ctx context.Context, own store.Club, name string, src []byte) (p *Published, err error) {
	sum := sha256.Sum256(src)
	err = c.Store.InTx(ctx, own.ID, func(tx store.Tx) error {
		versions, err := tx.Versions(ctx, store.KindRubric, name)
		if err != nil || slices.ContainsFunc(versions, func(d store.Document) bool { return d.SHA256 == hex.EncodeToString(sum[:]) }) {
			return err
		}
		base := 0
		if len(versions) > 0 {
			active, err := tx.ActiveDocument(ctx, store.KindRubric, name)
			if err != nil {
				return err
			}
			base = active.Version
		}
		v, err := c.publish(ctx, tx, Actor{Club: own.ID, KeyID: system}, Publication{Name: name, Source: src, Base: base, Why: "from the folder of rubrics"})
		if err == nil {
			p = &Published{own.Name, name, v.Document.Version}
		}
		return err
	})
	return p, err
}

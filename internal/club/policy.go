package club

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"

	"rootcue/engine/place"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// PutPolicy keeps a workload policy as the next version and makes it the active
// one. The file must be good and its examples must hold, else it is a Refusal
// with every problem. When the active version is not the base, the answer is
// ErrChanged; the active version's own bytes make no new version.
func (c *Clubs) PutPolicy(ctx context.Context, a Actor, name string, source []byte, base int, why string) (d store.Document, err error) {
	if err := checkPolicy(name, source); err != nil {
		return d, err
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil {
			return err
		}
		active, err := tx.ActiveDocument(ctx, store.KindPolicy, name)
		if err != nil && !errors.Is(err, store.ErrNotFound) {
			return err
		}
		if active.Version != base {
			return fmt.Errorf("%w: version %d is active, the change was made from %d", ErrChanged, active.Version, base)
		}
		if sum := sha256.Sum256(source); active.SHA256 == hex.EncodeToString(sum[:]) {
			d = active
			return nil
		}
		d, err = tx.Publish(ctx, store.Document{Kind: store.KindPolicy, Name: name, Source: source, Who: a.KeyID, Why: why}, base)
		if err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "policy.published", "policy/"+name, map[string]any{"version": d.Version, "sha256": d.SHA256, "why": why})
	})
	return d, err
}

func checkPolicy(name string, source []byte) error {
	p, slips := workload.Parse(name+".yaml", source)
	if p != nil && p.Name != name {
		slips = append(slips, place.Problem{Code: "other-name", File: name + ".yaml", Line: 1, Column: 1, Found: "a file of the policy " + p.Name, Wanted: "policy: " + name, Hint: "keep it under its own name"})
	}
	if place.Failed(slips) {
		return &Refusal{slips}
	}
	return nil
}

// Policies lists the active version of every workload policy, by name.
func (c *Clubs) Policies(ctx context.Context, a Actor) (docs []store.Document, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		docs, err = tx.ActiveDocuments(ctx, store.KindPolicy)
		return err
	})
	return docs, err
}

// Policy gives one version of a policy, the active one for 0, and the numbers
// of all versions, newest first.
func (c *Clubs) Policy(ctx context.Context, a Actor, name string, version int) (d store.Document, versions []int, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		if version == 0 {
			d, err = tx.ActiveDocument(ctx, store.KindPolicy, name)
		} else {
			d, err = tx.Document(ctx, store.KindPolicy, name, version)
		}
		if err != nil {
			return err
		}
		all, err := tx.Versions(ctx, store.KindPolicy, name)
		for _, v := range all {
			versions = append(versions, v.Version)
		}
		return err
	})
	return d, versions, err
}

func policyNames(ctx context.Context, tx store.Tx) ([]string, error) {
	docs, err := tx.ActiveDocuments(ctx, store.KindPolicy)
	names := make([]string, len(docs))
	for i := range docs {
		names[i] = docs[i].Name
	}
	return names, err
}

// policiesFor gives the policies in force for a player: the club's, then those
// of the player's teams and groups.
func (c *Clubs) policiesFor(ctx context.Context, tx store.Tx, s Settings, p store.Player) (list []*workload.Policy, err error) {
	names := slices.Clone(s.Policies)
	teams := slices.Clone(p.Groups)
	if len(s.TeamPolicies) > 0 && p.Ref != "" {
		groups, err := tx.GroupsOf(ctx, p.Ref)
		if err != nil {
			return nil, err
		}
		teams = append(teams, groups...)
	}
	for _, team := range teams {
		for _, n := range s.TeamPolicies[team] {
			if !slices.Contains(names, n) {
				names = append(names, n)
			}
		}
	}
	for _, n := range names {
		policy, err := c.activePolicy(ctx, tx, s, n)
		if err != nil {
			return nil, err
		}
		list = append(list, policy)
	}
	return list, nil
}

// activePolicy gives the active version of a policy; many players of one
// transaction are under the same few.
func (c *Clubs) activePolicy(ctx context.Context, tx store.Tx, s Settings, name string) (*workload.Policy, error) {
	if p := s.active[name]; p != nil {
		return p, nil
	}
	n, err := tx.ActiveVersion(ctx, store.KindPolicy, name)
	if err != nil {
		return nil, fmt.Errorf("policy %s in force: %w", name, err)
	}
	p, err := c.policy(ctx, tx, name, n)
	if err == nil && s.active != nil {
		s.active[name] = p
	}
	return p, err
}

// policy gives one version of a policy, which is read and parsed once.
func (c *Clubs) policy(ctx context.Context, tx store.Tx, name string, n int) (*workload.Policy, error) {
	key := versionKey(tx.ClubID(), name, n)
	if p, ok := c.policies.Load(key); ok {
		return p.(*workload.Policy), nil
	}
	d, err := tx.Document(ctx, store.KindPolicy, name, n)
	if err != nil {
		return nil, err
	}
	p, err := c.parsePolicy(d)
	if err == nil {
		c.policies.Store(key, p)
	}
	return p, err
}

// parsePolicy parses a stored version once: it never changes, and many clubs
// have the same.
func (c *Clubs) parsePolicy(d store.Document) (*workload.Policy, error) {
	if p, ok := c.policies.Load(d.SHA256); ok {
		return p.(*workload.Policy), nil
	}
	p, slips := workload.Parse(d.Name+".yaml", d.Source)
	if p == nil {
		return nil, fmt.Errorf("policy %s version %d: %s", d.Name, d.Version, slips[0].Summary())
	}
	c.policies.Store(d.SHA256, p)
	return p, nil
}

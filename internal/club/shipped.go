package club

import (
	"cmp"
	"context"
	"io/fs"
	"path"
	"slices"
	"strings"

	"rootcue/internal/store"
	"rootcue/rubrics"
)

// system is who did what the program did of its own.
const system = "system"

// Shipped is the reason of a version that nobody published.
const Shipped = "comes with the program"

// publishShipped publishes the rubrics and policies that come with the program
// into a new club, a rubric after those it builds on.
func publishShipped(ctx context.Context, tx store.Tx) error {
	docs, err := shipped()
	if err != nil {
		return err
	}
	for _, d := range docs {
		d.Who, d.Why = system, Shipped
		if _, err := tx.Publish(ctx, d, 0); err != nil {
			return err
		}
	}
	return logged(ctx, tx, system, "club.made", "club/"+tx.ClubID(), map[string]any{"documents": len(docs)})
}

// shipped lists what comes with the program. A rubric that extends another
// sorts behind it.
func shipped() (docs []store.Document, err error) {
	for kind, dir := range map[string]string{store.KindRubric: ".", store.KindPolicy: "workload"} {
		files, err := fs.Glob(rubrics.Files, path.Join(dir, "*.yaml"))
		if err != nil {
			return nil, err
		}
		for _, f := range files {
			src, err := rubrics.Files.ReadFile(f)
			if err != nil {
				return nil, err
			}
			docs = append(docs, store.Document{Kind: kind, Name: strings.TrimSuffix(path.Base(f), ".yaml"), Source: src})
		}
	}
	slices.SortFunc(docs, func(a, b store.Document) int { return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Name, b.Name)) })
	return docs, nil
}

package cli

import (
	"bytes"
	"context"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rootcue/api"
	"rootcue/internal/club"
	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
	"rootcue/rubrics"
)

// Each step changes the folder and is followed by one look.
func TestFolderWatch(t *testing.T) {
	ctx := context.Background()
	db, err := sqlstore.Open(ctx, filepath.Join(t.TempDir(), "club.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.Migrate(ctx); err != nil {
		t.Fatal(err)
	}
	kept := &failing{Store: db}
	clubs := club.New(kept)
	if _, _, err := clubs.AddFirstKey(ctx, "Harbour", club.NewKey{Role: "admin"}); err != nil {
		t.Fatal(err)
	}
	own, err := db.ClubByName(ctx, "Harbour")
	if err != nil {
		t.Fatal(err)
	}
	shipped, err := rubrics.Files.ReadFile("throw-to-second.yaml")
	if err != nil {
		t.Fatal(err)
	}
	edited := strings.Replace(string(shipped), "title: Throw to second base", "title: Our throw to second", 1)
	dir, live := t.TempDir(), &liveShelf{}
	live.now.Store(api.ShippedShelf())
	var said bytes.Buffer
	w := &folderWatch{dir: dir, shelf: live, clubs: clubs, log: slog.New(slog.NewTextHandler(&said, nil))}
	for _, step := range []struct {
		name, file, text string
		version          int
		title            string // of the server's own
		says             string
	}{
		{"empty", "", "", 1, "Throw to second base", ""},
		{"the shipped file", "throw-to-second.yaml", string(shipped), 1, "Throw to second base", ""},
		{"edited", "throw-to-second.yaml", edited, 2, "Our throw to second", "version=2"},
		{"unchanged", "", "", 2, "Our throw to second", ""},
		{"bad", "throw-to-second.yaml", "rubric: [", 2, "Our throw to second", "the last good one stays"},
		{"bad beside good", "own.yaml", "rubric: own\ntitle: Own\nextends: throw-to-first\n", 2, "Our throw to second", "rubric=own"},
		{"mended", "throw-to-second.yaml", edited + "# mended\n", 3, "Our throw to second", "version=3"},
		{"back to a file known before", "throw-to-second.yaml", edited, 3, "Our throw to second", ""},
	} {
		if step.file != "" {
			if err := os.WriteFile(filepath.Join(dir, step.file), []byte(step.text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		said.Reset()
		w.look(ctx)
		v, err := clubs.Rubric(ctx, club.Actor{Club: own.ID}, "throw-to-second", 0)
		if err != nil || v.Document.Version != step.version {
			t.Errorf("%s: the club has version %d (%v), wanted %d; %s", step.name, v.Document.Version, err, step.version, &said)
		}
		p, err := live.Rubric(ctx, "throw-to-second")
		if err != nil || p.Rubric.Title != step.title {
			t.Errorf("%s: the server has %q (%v), wanted %q", step.name, p.Rubric.Title, err, step.title)
		}
		if !strings.Contains(said.String(), step.says) || step.says == "" && said.Len() > 0 {
			t.Errorf("%s: it says %q, wanted %q", step.name, &said, step.says)
		}
	}
	// What stopped a look is no reason to pass over the file in the next, unless
	// it was the file itself.
	for i, step := range []struct {
		version int
		fail    func() error
	}{
		{3, func() error { panic("a test") }},
		{4, func() error { return fmt.Errorf("a test: %w", store.ErrUnavailable) }},
		{5, func() error { return fmt.Errorf("a test: %w", store.ErrReadOnly) }},
	} {
		if err := os.WriteFile(filepath.Join(dir, "throw-to-second.yaml"), fmt.Appendf(nil, "%s# %d\n", edited, i), 0o644); err != nil {
			t.Fatal(err)
		}
		said.Reset()
		kept.fail = step.fail
		w.look(ctx)
		if kept.fail = nil; !strings.Contains(said.String(), "a test") {
			t.Errorf("it says %q", &said)
		}
		w.look(ctx)
		if v, err := clubs.Rubric(ctx, club.Actor{Club: own.ID}, "throw-to-second", 0); err != nil || v.Document.Version != step.version {
			t.Errorf("the club has version %d (%v), wanted %d; %s", v.Document.Version, err, step.version, &said)
		}
	}
}

// failing is a store whose writes fail now and then.
type failing struct {
	store.Store
	fail func() error
}

func (f *failing) InTx(ctx context.Context, club string, fn func(store.Tx) error) error {
	if f.fail != nil {
		return f.fail()
	}
	return f.Store.InTx(ctx, club, fn)
}

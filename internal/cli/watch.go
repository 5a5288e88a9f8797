package cli

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"maps"
	"path"
	"runtime/debug"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"rootcue/api"
	"rootcue/engine/place"
	"rootcue/engine/workload"
	"rootcue/internal/club"
	"rootcue/internal/store"
)

// watchEvery is how often the folder of rubrics is looked at.
const watchEvery = time.Second

// A liveShelf is a shelf that can be exchanged while it is served.
type liveShelf struct{ now atomic.Pointer[api.Shelf] }

// Names implements api.Rubrics.
func (l *liveShelf) Names(ctx context.Context) ([]string, error) { return l.now.Load().Names(ctx) }

// Rubric implements api.Rubrics.
func (l *liveShelf) Rubric(ctx context.Context, name string) (*api.Published, error) {
	return l.now.Load().Rubric(ctx, name)
}

// PolicyNames implements api.Policies.
func (l *liveShelf) PolicyNames() []string { return l.now.Load().PolicyNames() }

// Policy implements api.Policies.
func (l *liveShelf) Policy(name string) (*workload.Policy, error) { return l.now.Load().Policy(name) }

// A folderWatch keeps what is served in step with a folder of rubrics: a good
// file goes live and is published into every club, a bad one leaves the last
// good one and says so.
type folderWatch struct {
	dir   string
	shelf *liveShelf
	clubs *club.Clubs
	log   *slog.Logger

	seen  [32]byte // digest of the folder as last looked at
	known int      // clubs
}

// run looks at the folder until ctx is done.
func (w *folderWatch) run(ctx context.Context) {
	tick := time.NewTicker(watchEvery)
	defer tick.Stop()
	for {
		w.look(ctx)
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

// look takes over what changed since the last look. A file that
// the program breaks on ends neither the watch nor the server.
func (w *folderWatch) look(ctx context.Context) {
	defer func() {
		if v := recover(); v != nil {
			w.log.Error("panic", "folder", w.dir, "says", fmt.Sprint(v), "stack", string(debug.Stack()))
		}
	}()
	clubs, err := w.clubs.Store.Clubs(ctx)
	if err != nil {
		return // the database is away; the next look does it
	}
	dir, err := openFolder(w.dir)
	if err != nil {
		w.log.Warn("the folder of rubrics cannot be read", "folder", w.dir, "error", err.Error())
		return
	}
	defer dir.Close()
	files, sum, err := readFolder(dir)
	if err != nil {
		w.log.Warn("the folder of rubrics cannot be read", "folder", w.dir, "error", err.Error())
		return
	}
	if sum == w.seen && len(clubs) == w.known {
		return
	}
	w.seen, w.known = sum, len(clubs)
	shelf, problems, err := api.NewShelf(dir)
	switch {
	case err != nil:
		w.log.Warn("the folder of rubrics cannot be read", "folder", w.dir, "error", err.Error())
		return
	case place.Failed(problems):
		for _, p := range problems {
			if !p.Warning {
				w.log.Warn("a file is not taken over; the last good one stays", "problem", p.Summary(), "hint", p.Hint)
			}
			delete(files, strings.TrimSuffix(p.File, ".yaml"))
		}
	default:
		w.shelf.now.Store(shelf)
	}
	list, err := w.clubs.PublishFolder(ctx, files)
	for _, p := range list {
		w.log.Info("rubric published from the folder", "club", p.Club, "rubric", p.Rubric, "version", p.Version)
	}
	if err != nil {
		w.log.Warn("a file is not published; the last version stays", "error", err.Error())
	}
	if errors.Is(err, store.ErrUnavailable) || errors.Is(err, store.ErrReadOnly) {
		w.seen = [32]byte{} // the next look does it
	}
}

// readFolder reads the rubrics of a folder by name, and a digest of all that
// is watched in it.
func readFolder(dir fs.FS) (map[string][]byte, [32]byte, error) {
	files, all := map[string][]byte{}, map[string][]byte{}
	for _, pattern := range []string{"*.yaml", "workload/*.yaml"} {
		names, err := fs.Glob(dir, pattern)
		if err != nil {
			return nil, [32]byte{}, err
		}
		for _, name := range names {
			b, err := fs.ReadFile(dir, name)
			if err != nil {
				return nil, [32]byte{}, err
			}
			if all[name] = b; path.Dir(name) == "." {
				files[strings.TrimSuffix(name, ".yaml")] = b
			}
		}
	}
	h := sha256.New()
	for _, name := range slices.Sorted(maps.Keys(all)) {
		one := sha256.Sum256(all[name])
		h.Write([]byte(name + "\x00"))
		h.Write(one[:])
	}
	return files, [32]byte(h.Sum(nil)), nil
}

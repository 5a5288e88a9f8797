package club

import (
	"bytes"
	"compress/flate"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"time"

	"rootcue/internal/store"
)

// exportRows is how many rows are read and written at once.
const exportRows = 100

// KeepExport is how long an export can be fetched.
const KeepExport = 24 * time.Hour

// ErrUnfinished: the job that makes the export is not done yet.
var ErrUnfinished = errors.New("the export is not made yet")

// An ExportAsked names an export, and the job that makes it.
type ExportAsked struct {
	Export  string
	Job     string
	Expires store.Time
}

// Export asks for everything held on a player, or on the whole club when ref is
// "", to be made ready to be fetched. That it was asked for is logged.
func (c *Clubs) Export(ctx context.Context, a Actor, ref string) (asked ExportAsked, err error) {
	if c.Jobs == nil {
		return asked, ErrNoJobs
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		e := store.Export{Who: a.KeyID, Expires: store.At(tx.Now().Add(KeepExport))}
		what, entity := "club.exported", "club/"+a.Club
		if ref != "" {
			p, err := tx.Player(ctx, ref)
			if err != nil {
				return err
			}
			e.PlayerRef, what, entity = &ref, "player.exported", "player/"+p.ID
		}
		if e, err = tx.AddExport(ctx, e); err != nil {
			return err
		}
		asked.Export, asked.Expires = e.ID, e.Expires
		if asked.Job, err = c.Jobs.Export(ctx, tx, e.ID, e.Expires); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, what, entity, map[string]any{"export": e.ID})
	})
	return asked, err
}

// exportState is how far an export is: the files it has so far. The last of
// them goes on at After.
type exportState struct {
	Files []packedFile `json:"files"`
	After string       `json:"after"`
	Rows  int          `json:"rows"`
}

// packedFile is a file of an archive, as it stands in its parts one after the
// other: deflated (RFC 1951), so that parts in a row are one stream.
type packedFile struct {
	Name   string `json:"name"`
	Parts  int    `json:"parts"`
	CRC    uint32 `json:"crc"` // of the file
	Size   uint64 `json:"size"`
	Packed uint64 `json:"packed"`
	Whole  bool   `json:"whole"`
}

// ExportSome makes the next part of an export and gives how many rows are in it
// so far. Done is also one that is gone, by an erasure or because it expired. A
// part and the note that it is there are kept together, so that whatever stops
// the work, nothing is lost or in it twice.
func (c *Clubs) ExportSome(ctx context.Context, club, id string) (rows int, done bool, err error) {
	var e store.Export
	var s exportState
	var part []byte
	err = c.Store.View(ctx, club, func(tx store.Tx) error {
		if e, err = tx.Export(ctx, id); err != nil || e.DoneAt != nil {
			return err
		}
		if err := json.Unmarshal(e.State, &s); err != nil {
			return err
		}
		part, err = s.next(ctx, tx, orEmpty(e.PlayerRef))
		return err
	})
	if err == nil && e.DoneAt == nil {
		done = s.done(orEmpty(e.PlayerRef))
		err = c.Store.InTx(ctx, club, func(tx store.Tx) error {
			if done {
				e.DoneAt = tx.Now().Ptr()
			}
			if e.State, err = json.Marshal(s); err != nil {
				return err
			}
			return tx.PutExport(ctx, e, part)
		})
	}
	if isNotFound(err) {
		return 0, true, nil
	}
	return s.Rows, done || e.DoneAt != nil, err
}

// ExpireExport drops a club's exports that have expired, and gives how long the
// one named is still to be kept.
func (c *Clubs) ExpireExport(ctx context.Context, club, id string) (left time.Duration, err error) {
	err = c.Store.InTx(ctx, club, func(tx store.Tx) error {
		if err := tx.DropExports(ctx); err != nil {
			return err
		}
		e, err := tx.Export(ctx, id)
		if isNotFound(err) {
			return nil
		}
		left = e.Expires.Sub(tx.Now().Time)
		return err
	})
	return left, err
}

// done reports whether every file is whole.
func (s *exportState) done(player string) bool {
	return len(s.Files) == len(exportFiles(player)) && s.Files[len(s.Files)-1].Whole
}

// next writes on at the file that is not whole yet, or begins the next one.
func (s *exportState) next(ctx context.Context, tx store.Tx, player string) ([]byte, error) {
	all := exportFiles(player)
	if n := len(s.Files); n == 0 || s.Files[n-1].Whole {
		if n == len(all) {
			return nil, fmt.Errorf("an export has %d files and goes on", n)
		}
		s.Files = append(s.Files, packedFile{Name: all[n].name})
	}
	p, err := all[len(s.Files)-1].piece(ctx, tx, player, s.After)
	if err != nil {
		return nil, err
	}
	s.After, s.Rows = p.next, s.Rows+p.rows
	f := &s.Files[len(s.Files)-1]
	f.Whole = p.next == ""
	packed, err := deflate(p.bytes, f.Whole)
	f.Parts++
	f.CRC = crc32.Update(f.CRC, crc32.IEEETable, p.bytes)
	f.Size += uint64(len(p.bytes))
	f.Packed += uint64(len(packed))
	return packed, err
}

// deflate packs a piece; only that of the last one ends the stream.
func deflate(b []byte, last bool) ([]byte, error) {
	var out bytes.Buffer
	w, err := flate.NewWriter(&out, flate.DefaultCompression)
	if err != nil {
		return nil, err
	}
	if _, err = w.Write(b); err == nil {
		err = w.Flush()
	}
	if err == nil && last {
		err = w.Close()
	}
	return out.Bytes(), err
}

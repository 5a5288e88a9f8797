package club

import (
	"archive/zip"
	"context"
	"encoding/json"
	"io"

	"rootcue/internal/store"
)

// WritePlayer writes the archive of a player while it is read, a page of rows
// at a time. Ready is called when nothing of the request can be refused any
// more. That it was read is logged.
func (c *Clubs) WritePlayer(ctx context.Context, a Actor, ref string, out io.Writer, ready func()) error {
	err := c.write(ctx, a, func(tx store.Tx) error {
		p, err := tx.Player(ctx, ref)
		if err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "player.exported", "player/"+p.ID, struct{}{})
	})
	if err != nil {
		return err
	}
	ready()
	z := zip.NewWriter(out)
	for _, f := range exportFiles(ref) {
		if err := c.writeFile(ctx, a, z, f, ref); err != nil {
			return err
		}
	}
	return z.Close()
}

func (c *Clubs) writeFile(ctx context.Context, a Actor, z *zip.Writer, f exportFile, ref string) error {
	w, err := z.Create(f.name)
	if err != nil {
		return err
	}
	for p := (piece{}); ; {
		err := c.view(ctx, a, func(tx store.Tx) (err error) {
			p, err = f.piece(ctx, tx, ref, p.next)
			return err
		})
		if err == nil {
			_, err = w.Write(p.bytes)
		}
		if err != nil || p.next == "" {
			return err
		}
	}
}

// WriteExport writes an export that a job has made, a part at a time; ready as
// in WritePlayer. One that is not made yet is ErrUnfinished. That it was
// fetched is logged.
func (c *Clubs) WriteExport(ctx context.Context, a Actor, id string, out io.Writer, ready func()) error {
	var s exportState
	err := c.write(ctx, a, func(tx store.Tx) error {
		e, err := tx.Export(ctx, id)
		if err != nil {
			return err
		}
		if e.DoneAt == nil {
			return ErrUnfinished
		}
		if err := json.Unmarshal(e.State, &s); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "export.fetched", "export/"+id, struct{}{})
	})
	if err != nil {
		return err
	}
	ready()
	z, part := zip.NewWriter(out), 0
	for _, f := range s.Files {
		w, err := z.CreateRaw(&zip.FileHeader{Name: f.Name, Method: zip.Deflate, CRC32: f.CRC, UncompressedSize64: f.Size, CompressedSize64: f.Packed})
		if err != nil {
			return err
		}
		for end := part + f.Parts; part < end; part++ {
			var b []byte
			err := c.view(ctx, a, func(tx store.Tx) (err error) {
				b, err = tx.ExportPart(ctx, id, part)
				return err
			})
			if err == nil {
				_, err = w.Write(b)
			}
			if err != nil {
				return err
			}
		}
	}
	return z.Close()
}

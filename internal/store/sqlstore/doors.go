package sqlstore

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"fmt"
	"reflect"
	"strings"

	"rootcue/internal/store"
)

// CreateClub implements store.Doors.
func (d *DB) CreateClub(ctx context.Context, c store.Club, fn func(store.Tx) error) (store.Club, error) {
	if c.ID == "" {
		c.ID = store.NewID()
	}
	key := make([]byte, 32)
	rand.Read(key) // never fails (crypto/rand)
	c.LogKey, c.LogSeq, c.LogHash = hex.EncodeToString(key), 0, ""
	err := d.write(ctx, c.ID, func(t *tx) error {
		if c.CreatedAt.IsZero() {
			c.CreatedAt = t.now
		}
		if err := t.insertClub(ctx, c); err != nil {
			return err
		}
		return fn(t)
	})
	return c, err
}

func (t *tx) insertClub(ctx context.Context, c store.Club) error {
	columns := shapeOf(reflect.TypeFor[store.Club]()).columns
	marks := strings.Repeat("?, ", len(columns)-1) + "?"
	_, err := t.exec(ctx, "INSERT INTO clubs ("+strings.Join(columns, ", ")+") VALUES ("+marks+")", fields(reflect.ValueOf(c))...)
	return err
}

// Clubs implements store.Doors.
func (d *DB) Clubs(ctx context.Context) ([]store.Club, error) {
	var clubs []store.Club
	err := d.read(ctx, "", func(t *tx) (err error) {
		clubs, err = t.clubs(ctx, "ORDER BY name")
		return err
	})
	return clubs, err
}

// ClubByName implements store.Doors.
func (d *DB) ClubByName(ctx context.Context, name string) (store.Club, error) {
	var found store.Club
	err := d.read(ctx, "", func(t *tx) error {
		clubs, err := t.clubs(ctx, "WHERE name = ?", name)
		if err == nil && len(clubs) == 0 {
			err = fmt.Errorf("%w: club %q", store.ErrNotFound, name)
		}
		if err == nil {
			found = clubs[0]
		}
		return err
	})
	return found, err
}

// clubs reads the list of clubs, which no single club may see.
func (t *tx) clubs(ctx context.Context, rest string, args ...any) ([]store.Club, error) {
	if err := t.setting(ctx, "operator", "on"); err != nil {
		return nil, err
	}
	columns := strings.Join(shapeOf(reflect.TypeFor[store.Club]()).columns, ", ")
	return collect[store.Club](ctx, t, "SELECT "+columns+" FROM clubs "+rest, args)
}

// KeyByHash implements store.Doors.
func (d *DB) KeyByHash(ctx context.Context, hash string) (string, store.Key, error) {
	return behind[store.Key](ctx, d, "keys", hash)
}

// SessionByHash implements store.Doors.
func (d *DB) SessionByHash(ctx context.Context, hash string) (string, store.Session, error) {
	return behind[store.Session](ctx, d, "sessions", hash)
}

// LinkByHash implements store.Doors.
func (d *DB) LinkByHash(ctx context.Context, hash string) (string, store.Link, error) {
	return behind[store.Link](ctx, d, "links", hash)
}

// behind finds the club and the row that a presented secret opens.
func behind[T any](ctx context.Context, d *DB, table, hash string) (club string, row T, err error) {
	err = d.read(ctx, "", func(t *tx) error {
		if err := t.setting(ctx, "door", hash); err != nil {
			return err
		}
		rows, err := t.query(ctx, "SELECT club_id FROM "+table+" WHERE hash = ?", hash)
		if err != nil {
			return err
		}
		defer rows.Close()
		if !rows.Next() {
			if err := rows.Err(); err != nil {
				return translate(ctx, err)
			}
			return fmt.Errorf("%w in %s: no such secret", store.ErrNotFound, table)
		}
		if err := rows.Scan(&club); err != nil {
			return translate(ctx, err)
		}
		if err := rows.Close(); err != nil {
			return translate(ctx, err)
		}
		t.club = club
		row, err = one[T](ctx, t, table, "AND hash = ?", hash)
		return err
	})
	return club, row, err
}

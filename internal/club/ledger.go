package club

import (
	"context"
	"fmt"
	"math"

	"rootcue/engine/civil"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// outsAnInning: innings are kept as outs, so that thirds stay whole numbers.
const outsAnInning = 3

// Kinds of entry that only the ledger of a club knows.
const kindWithdrawn = "withdrawn" // retires another entry and counts for nothing

// sourceAssessed marks throws counted from the reps of an assessment.
const sourceAssessed = "assessed"

// inInnings reports whether a kind counts innings.
func inInnings(kind string) bool {
	return kind == string(workload.InningsPitched) || kind == string(workload.InningsCaught)
}

// health reports whether a kind tells of somebody's health.
func health(kind string) bool {
	switch workload.Kind(kind) {
	case workload.Pain, workload.Tired, workload.Blow, workload.Cleared:
		return true
	}
	return false
}

// hurts reports whether an entry stops an arm until it is cleared.
func hurts(t store.Throw) bool {
	return t.Pain != "" || t.Kind == string(workload.Pain) || t.Kind == string(workload.Blow)
}

// ledgerOf is a player's record as the engine reads it, up to and with a day;
// lines count from 1 in the order of dates.
func ledgerOf(ctx context.Context, tx store.Tx, ref string, on civil.Date) (l workload.Ledger, err error) {
	throws, err := tx.Throws(ctx, ref, "", on.String(), false)
	if err != nil {
		return l, err
	}
	return ledgerTo(on, throws)
}

// ledgerTo is the record that a player's entries make, in the order of dates.
func ledgerTo(on civil.Date, throws []store.Throw) (l workload.Ledger, err error) {
	last := on.String()
	for i, t := range throws {
		if t.Date > last {
			break
		}
		if t.Kind == kindWithdrawn {
			continue
		}
		e, err := entryOf(t)
		if err != nil {
			return l, err
		}
		e.Line = i + 1
		l.Entries = append(l.Entries, e)
	}
	return l, nil
}

func cmpText(a, b string) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// entryOf is a stored entry as the engine knows it.
func entryOf(t store.Throw) (e workload.Entry, err error) {
	date, err := civil.Parse(t.Date)
	if err != nil {
		return e, fmt.Errorf("ledger entry %s: %w", t.ID, err)
	}
	e = workload.Entry{Date: date, Kind: workload.Kind(t.Kind), Game: t.Game, Where: t.Where, Pain: t.Pain != "", PainSays: t.Pain, Note: t.Note, Source: t.Source}
	if t.Count != nil {
		e.Count = workload.Of(float64(*t.Count))
		if inInnings(t.Kind) {
			e.Count = workload.Of(float64(*t.Count) / outsAnInning)
		}
	}
	if t.CountAtLastBatter != nil {
		e.AtLastBatter = workload.Of(float64(*t.CountAtLastBatter))
	}
	return e, nil
}

// throwOf is an entry as it is kept. Innings that are no whole number of outs
// have no place there.
func throwOf(ref string, e workload.Entry) (t store.Throw, ok bool) {
	t = store.Throw{PlayerRef: ref, Date: e.Date.String(), Kind: string(e.Kind), Game: e.Game, Where: e.Where, Note: e.Note, Pain: e.PainSays}
	if e.Pain && t.Pain == "" {
		t.Pain = "yes"
	}
	if v, known := e.Count.Value(); known {
		if inInnings(t.Kind) {
			v *= outsAnInning
		}
		n := int(math.Round(v))
		if math.Abs(v-float64(n)) > 0.01 {
			return t, false
		}
		t.Count = &n
	}
	if v, known := e.AtLastBatter.Value(); known {
		n := int(math.Round(v))
		t.CountAtLastBatter = &n
	}
	return t, true
}

// CountOf is what a stored entry counts, in innings where it counts innings;
// nil is unknown.
func CountOf(t store.Throw) *float64 {
	if t.Count == nil {
		return nil
	}
	n := float64(*t.Count)
	if inInnings(t.Kind) {
		n /= outsAnInning
	}
	return &n
}

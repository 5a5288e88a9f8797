package main

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"rootcue/api"
	"rootcue/internal/club"
)

// The page that is kept is what the command writes of the costs that are kept.
func TestPage(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, costsName), []byte(read(t, filepath.Join(speedFolder, costsName))), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := run(folder, 1); err != nil {
		t.Fatal(err)
	}
	if read(t, filepath.Join(folder, "capacity.md")) != read(t, filepath.Join(speedFolder, "capacity.md")) {
		t.Error("testdata/speed/capacity.md is out of date: go run ./internal/capacity writes it")
	}
}

// Costs that none have been measured are refused.
func TestBadCosts(t *testing.T) {
	kept := read(t, filepath.Join(speedFolder, costsName))
	one := func(key string) string {
		return regexp.MustCompile(`"`+key+`": [0-9.]+`).ReplaceAllString(kept, `"`+key+`": -0.001`)
	}
	for name, text := range map[string]string{"no JSON": "{", "nothing": "{}", "server": one("server_cpu_ms"), "database": one("database_cpu_ms"), "wait": one("wait_ms")} {
		file := filepath.Join(t.TempDir(), costsName)
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := readCosts(file); err == nil {
			t.Errorf("%s: read", name)
		}
	}
}

// What the plan takes for the program's bounds is what they are.
func TestBounds(t *testing.T) {
	if linesAtOnce != club.BatchEntries || mostInWork != api.MostInWork || mostWaiting != api.MostWaiting {
		t.Errorf("the plan has %d lines, %d in work, %d waiting; the program %d, %d, %d", linesAtOnce, mostInWork, mostWaiting, club.BatchEntries, api.MostInWork, api.MostWaiting)
	}
}

// plainCosts have round figures.
var plainCosts = costs{Submit: cost{2, 1, 1}, Line: cost{0.5, 0.5, 0.1}, List: cost{1, 1, 1}, Report: cost{4, 1, 1}}

// What is used is what is asked for (the utilisation law: use = rate × work; Denning
// and Buzen, Computing Surveys 10, 1978), and nothing takes less time than its work.
func TestUse(t *testing.T) {
	t.Parallel()
	const factor, seconds = 10, 1000
	s := setup{servers: 2, cores: 2, databaseCores: 2}
	o := play(plainCosts, s, factor, seconds, 1)
	rate := players * seenOnSaturday * inTheHour / 3600 * factor // assessments a second
	lines := rate*inFiles + seasonLines/(seconds+30.0)
	near(t, "servers", o.server, (rate*(1-inFiles)*2+lines*0.5+rate*(lists*1+reports*4))/1000/4, 0.05)
	near(t, "database", o.database, (rate*(1-inFiles)*1+lines*0.5+rate*(lists+reports))/1000/2, 0.05)
	if o.p50 < 2 || o.p50 > 10 || o.page < 3 || o.refused != 0 || math.IsInf(o.seasonTook, 1) || o.seasonTook < seasonLines*1.1/1000 {
		t.Errorf("found %+v", o)
	}
}

// The same seed gives the same hour, another one another; more machines hold as
// much at least; an hour that is too much is refused in part.
func TestHours(t *testing.T) {
	t.Parallel()
	small, large := setup{servers: 1, cores: 2, databaseCores: 2}, setup{servers: 4, cores: 2, databaseCores: 8}
	if a, b := play(plainCosts, small, 5, 60, 1), play(plainCosts, small, 5, 60, 1); a != b {
		t.Errorf("found %+v and %+v", a, b)
	}
	if a, b := play(plainCosts, small, 5, 60, 1), play(plainCosts, small, 5, 60, 2); a == b {
		t.Error("two seeds give the same hour")
	}
	a, b := play(plainCosts, small, 100, 60, 1), play(plainCosts, large, 100, 60, 1)
	if a.holds() || !b.holds() || a.refused == 0 || a.fullest(small) != "the servers' processors" {
		t.Errorf("found %+v, and of more machines %+v", a, b)
	}
	read := setup{servers: 20, cores: 2, databaseCores: 2, readers: true}
	if o := play(plainCosts, read, 100, 60, 1); o.fullest(read) != "the replica's processors" {
		t.Errorf("found %+v where all pages come from a replica", o)
	}
	one := play(plainCosts, setup{servers: 1, cores: 64, embedded: true}, 100, 60, 1)
	if one.fullest(setup{embedded: true}) != "the one writer" {
		t.Errorf("found %+v of a database with one writer", one)
	}
}

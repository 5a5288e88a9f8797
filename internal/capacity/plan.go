package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// What is set up, smallest first.
var setups = []setup{
	{name: "One machine of 2 processors, embedded database", servers: 1, cores: 2, embedded: true},
	{name: "One server of 2, PostgreSQL of 2", servers: 1, cores: 2, databaseCores: 2},
	{name: "Two servers of 2, PostgreSQL of 2", servers: 2, cores: 2, databaseCores: 2},
	{name: "Four servers of 2, PostgreSQL of 2", servers: 4, cores: 2, databaseCores: 2},
	{name: "Four servers of 2, PostgreSQL of 2, pages from a replica of 2", servers: 4, cores: 2, databaseCores: 2, readers: true},
	{name: "Four servers of 2, PostgreSQL of 8", servers: 4, cores: 2, databaseCores: 8},
}

// How many times the busiest hour is tried, and how long a stretch of it.
var factors = []float64{1, 5, 10, 20, 30, 40, 50, 70, 100, 150}

const stretch = 120 // seconds

// What counts as holding: so many of a hundred phones answered within a second,
// and next to nothing refused.
func (o outcome) holds() bool { return o.p99 <= 1000 && o.refused <= 0.001 }

// fullest names what is used most.
func (o outcome) fullest(s setup) string {
	turn := "the turn of the busiest club"
	if s.embedded {
		turn = "the one writer"
	}
	names := []string{"the servers' processors", "the database's processors", "the replica's processors", turn}
	uses := []float64{o.server, o.database, o.replica, o.turn}
	return names[slices.Index(uses, slices.Max(uses))]
}

// plan is the whole page.
func plan(m measured, seed uint64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# Capacity\n\nWritten by `go run ./internal/capacity` from [costs.json](costs.json), seed %d; not edited by hand.\nCosts: %s; load average while they were measured: %s.\n", seed, m.Machine, m.Load)
	m.table(&b)
	hour(&b)
	b.WriteString("\n## The hour, and more of it\n\nA phone's time is from the request to the stored answer, without the network. Use is the share of time in which processors\nwork, or in which the turn is taken: a club's writes go one after the other, and the embedded database has one writer for all.\nA setup is tried with more until it no longer holds: 99 of 100 phones within 1 s, at most 1 of 1000 requests refused.\n")
	var breaks []string
	for _, s := range setups {
		breaks = append(breaks, s.rows(&b, m, seed))
	}
	b.WriteString("\n## What breaks first\n\nThe alarm is at half of what holds: so much is left for a day like none before, and to act.\n\n| machines | holds | requests, 1/s | alarm at, 1/s | then |\n| --- | ---: | ---: | ---: | --- |\n")
	for _, row := range breaks {
		b.WriteString(row)
	}
	m.growth(&b)
	b.WriteString(drill)
	return b.String()
}

// table writes the unit costs.
func (m measured) table(b *strings.Builder) {
	fmt.Fprintf(b, "\n## What one costs\n\nProcessor time of the server and of the database, and the rest of the time until the answer, in ms; requests one after the\nother, without a network, the lowest of three rounds; – where several processors worked at once, so that what they waited cannot be told. The list is\nof a player seen on %d days. The embedded database works within the server.\n\n| | server, embedded | waits | server | PostgreSQL | waits |\n| --- | ---: | ---: | ---: | ---: | ---: |\n", seenAYear)
	waits := func(c cost) string {
		if c.Wait == 0 {
			return "–"
		}
		return fmt.Sprintf("%.2f", c.Wait)
	}
	for _, r := range []struct {
		what          string
		embedded, own cost
	}{
		{"one observation sent", m.Embedded.Submit, m.Postgres.Submit}, {"one line of a file of many", m.Embedded.Line, m.Postgres.Line},
		{"a list of assessments", m.Embedded.List, m.Postgres.List}, {"a report page", m.Embedded.Report, m.Postgres.Report},
	} {
		fmt.Fprintf(b, "| %s | %.2f | %s | %.2f | %.2f | %s |\n", r.what, r.embedded.Server, waits(r.embedded), r.own.Server, r.own.Database, waits(r.own))
	}
}

// hour writes what is assumed.
func hour(b *strings.Builder) {
	fmt.Fprintf(b, "\n## The busiest hour\n\nAssumed, not measured: %d clubs, %d players. On a Saturday %.0f %% of the players are seen once, %.0f %% of them within one hour.\n", clubs, players, seenOnSaturday*100, inTheHour*100)
	fmt.Fprintf(b, "%.0f %% of these come in files of %d lines, the rest from phones; of what phones send, %.0f %% was held back in a dead zone and\ncomes %d at once. For each assessment %d lists and %d reports are read. In the same hour one club imports a season of %d\nlines. The work that a request takes is drawn from an exponential distribution, wider than what is measured.\n", inFiles*100, linesInFile, fromDeadZones*100, heldBack, lists, reports, seasonLines)
	fmt.Fprintf(b, "\nA stretch of %d s of the hour is played, events in the order of time; a server takes %d requests on and lets %d wait. The\nsimulation is held against M/M/1, M/M/c (Erlang), M/D/1 and Little's law in its tests. The network, failures and the\nsharing of a machine with others are not in it.\n", stretch, mostInWork, mostWaiting)
}

// rows writes how a setup fares and gives its line of what breaks.
func (s setup) rows(b *strings.Builder, m measured, seed uint64) string {
	c := m.Postgres
	if s.embedded {
		c = m.Embedded
	}
	fmt.Fprintf(b, "\n### %s\n\n| × the hour | requests, 1/s | phone, median | p95 | p99 | page, p95 | refused | servers in use | database | turn | season's import |\n| ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |\n", s.name)
	held := outcome{}
	for _, f := range factors {
		o := play(c, s, f, stretch, seed)
		took := fmt.Sprintf("%.0f s", o.seasonTook)
		if math.IsInf(o.seasonTook, 1) {
			took = fmt.Sprintf("over %d s", stretch)
		}
		fmt.Fprintf(b, "| %.0f | %.0f | %.0f ms | %.0f ms | %.0f ms | %.0f ms | %.1f %% | %.0f %% | %.0f %% | %.0f %% | %s |\n", f, o.offered, o.p50, o.p95, o.p99, o.page, o.refused*100, o.server*100, o.database*100, o.turn*100, took)
		if !o.holds() {
			return fmt.Sprintf("| %s | × %.0f | %.0f | %.0f | at × %.0f p99 of a phone is %.0f ms and %.1f %% are refused; used most: %s |\n", s.name, held.factor, held.offered, held.offered/2, f, o.p99, o.refused*100, o.fullest(s))
		}
		held = o
	}
	return fmt.Sprintf("| %s | × %.0f | %.0f | %.0f | not tried beyond |\n", s.name, held.factor, held.offered, held.offered/2)
}

// How often a player is seen in a year, and what is kept by a club that forgets
// after three.
const (
	seenAYear = 20
	years     = 5
	kept      = 3
)

// growth writes what the database comes to.
func (m measured) growth(b *strings.Builder) {
	a := float64(players * seenAYear)
	const gib = 1 << 30
	fmt.Fprintf(b, "\n## The database after %d years\n\nAssumed: each player is seen on %d days of a year, %.0f assessments a year in all. Players, keys and rubrics weigh nothing\nbeside them.\n", years, seenAYear, a)
	for _, d := range []struct {
		name string
		c    costs
	}{{"PostgreSQL", m.Postgres}, {"Embedded", m.Embedded}} {
		fmt.Fprintf(b, "\n| %s | bytes an assessment | after %d years |\n| --- | ---: | ---: |\n", d.name, years)
		for _, s := range d.c.Shares {
			name := "`" + s.Table + "`"
			if s.Index != "" {
				name += ", index `" + s.Index + "`"
			}
			fmt.Fprintf(b, "| %s | %.0f | %.1f GiB |\n", name, s.Bytes, s.Bytes*a*years/gib)
		}
		fmt.Fprintf(b, "| **in all** | %.0f | %.0f GiB |\n| with `keep_months` 36 | | %.0f GiB |\n", d.c.bytes(), d.c.bytes()*a*years/gib, d.c.bytes()*a*kept/gib)
	}
}

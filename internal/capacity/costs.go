package main

import (
	"encoding/json"
	"fmt"
	"os"
)

const costsName = "costs.json"

// A cost is what one request takes, in milliseconds: of the server's processors,
// of the database's, and of neither, in which a commit waits for the disk and
// what is said between the two is under way. The embedded database is part of
// the server.
type cost struct {
	Server   float64 `json:"server_cpu_ms"`
	Database float64 `json:"database_cpu_ms"`
	Wait     float64 `json:"wait_ms"`
}

// times is the cost of n of them.
func (c cost) times(n float64) cost { return cost{c.Server * n, c.Database * n, c.Wait * n} }

// A share is how much one assessment adds to a table or an index.
type share struct {
	Table string  `json:"table" db:"table"`
	Index string  `json:"index,omitempty" db:"index"` // "" is the table itself
	Bytes float64 `json:"bytes" db:"bytes"`
}

// costs are those on one database.
type costs struct {
	Submit cost    `json:"submit"` // one observation
	Line   cost    `json:"line"`   // of a file of many
	List   cost    `json:"list"`   // a player's assessments
	Report cost    `json:"report"` // the printable page
	Shares []share `json:"shares"`
}

// bytes is what one assessment adds to the database.
func (c costs) bytes() (sum float64) {
	for _, s := range c.Shares {
		sum += s.Bytes
	}
	return sum
}

// measured is the file of costs.
type measured struct {
	Machine  string `json:"machine"` // and day
	Load     string `json:"load"`    // averages while it was measured
	Embedded costs  `json:"embedded"`
	Postgres costs  `json:"postgres"`
}

func readCosts(file string) (m measured, err error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return m, err
	}
	if err := json.Unmarshal(text, &m); err != nil {
		return m, fmt.Errorf("%s: %w", file, err)
	}
	for _, c := range []cost{m.Embedded.Submit, m.Embedded.Line, m.Embedded.List, m.Embedded.Report, m.Postgres.Submit, m.Postgres.Line, m.Postgres.List, m.Postgres.Report} {
		if c.Server <= 0 || c.Database < 0 || c.Wait < 0 {
			return m, fmt.Errorf("%s: a cost of %+v ms; want what the benchmark measures", file, c)
		}
	}
	return m, nil
}

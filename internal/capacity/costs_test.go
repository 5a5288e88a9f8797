package capacity

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"net/http/httptest"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jmoiron/sqlx"

	"rootcue/api"
	"rootcue/internal/club"
	"rootcue/internal/jobs"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
)

var write = flag.Bool("write", false, "keep the costs measured")

// costsFile holds unit costs; BenchmarkUnitCosts writes it.
const costsFile = "testdata/costs.json"

// A cost is what one request takes: time of the server's processors, and the
// rest of the time until its answer, in which the database works.
type cost struct {
	CPU float64 `json:"cpu_ms"`
	DB  float64 `json:"database_ms"`
}

// costs are the unit costs on one database.
type costs struct {
	Submit           cost    `json:"submit"`
	List             cost    `json:"list"`
	Report           cost    `json:"report"`
	ObservationBytes float64 `json:"observation_bytes"` // with its assessment, indexes and log
}

// measured is the file of costs.
type measured struct {
	On       string `json:"on"`
	Machine  string `json:"machine"`
	Embedded costs  `json:"embedded"`
	Postgres costs  `json:"postgres"`
}

// BenchmarkUnitCosts measures single requests, one after the other, in the
// server's own process,
// on a machine that does nothing else:
//
//	go test ./internal/capacity -run NONE -bench UnitCosts -benchtime 1x -write
func BenchmarkUnitCosts(b *testing.B) {
	for b.Loop() {
		file := filepath.Join(b.TempDir(), "club.db")
		cluster, err := storetest.NewCluster() // as durable as PostgreSQL is by default
		if err != nil {
			b.Fatal(err)
		}
		url, err := cluster.Database()
		if err != nil {
			b.Fatal(err)
		}
		m := measured{On: time.Now().UTC().Format(time.DateOnly), Machine: fmt.Sprintf("%d cores, %s/%s, %s", runtime.NumCPU(), runtime.GOOS, runtime.GOARCH, runtime.Version())}
		m.Embedded = measure(b, file, func() float64 {
			info, err := os.Stat(file) // the write-ahead log goes into it every 1000 pages or so
			if err != nil {
				b.Fatal(err)
			}
			return float64(info.Size())
		})
		m.Postgres = measure(b, url, func() float64 {
			db := sqlx.MustConnect("postgres", url)
			defer db.Close()
			var size float64
			if err := db.Get(&size, "SELECT pg_database_size(current_database())"); err != nil {
				b.Fatal(err)
			}
			return size
		})
		if err := cluster.Stop(); err != nil {
			b.Fatal(err)
		}
		text, err := json.MarshalIndent(m, "", "  ")
		if err != nil {
			b.Fatal(err)
		}
		b.Logf("%s", text)
		if *write {
			if err := errors.Join(os.MkdirAll(filepath.Dir(costsFile), 0o755), os.WriteFile(costsFile, append(text, '\n'), 0o644)); err != nil {
				b.Fatal(err)
			}
		}
	}
}

const requestsEach = 400

func measure(b *testing.B, url string, size func() float64) (c costs) {
	ctx := context.Background()
	db, err := sqlstore.Open(ctx, url)
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	if err := errors.Join(db.Migrate(ctx), jobs.Migrate(ctx, db)); err != nil {
		b.Fatal(err)
	}
	clubs := club.New(db)
	if _, err := jobs.New(db, clubs, jobs.Options{}); err != nil {
		b.Fatal(err)
	}
	_, key, err := clubs.AddFirstKey(ctx, "Harbour", club.NewKey{Role: "admin"})
	if err != nil {
		b.Fatal(err)
	}
	shelf := api.ShippedShelf()
	server := api.New(api.Options{Rubrics: shelf, Policies: shelf, Clubs: clubs})
	doc, err := os.ReadFile("../../testdata/observations/off-line.json")
	if err != nil {
		b.Fatal(err)
	}
	last := ""
	ask := func(method, target, body string) {
		r := httptest.NewRequest(method, target, strings.NewReader(body))
		r.Header.Set("Authorization", "Bearer "+key)
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		if server.ServeHTTP(w, r); w.Code != 200 {
			b.Fatalf("%s %s: %d %s", method, target, w.Code, w.Body)
		}
		if method == "POST" {
			var answer api.Submitted
			if err := json.Unmarshal(w.Body.Bytes(), &answer); err != nil {
				b.Fatal(err)
			}
			last = answer.Lines[0].Assessment
		}
	}
	submit := func(n int) {
		ask("POST", "/v1/observations", strings.Replace(string(doc), "P-0733", fmt.Sprintf("B-%d", n), 1))
	}
	submit(-1) // what is made once is not counted
	before := size()
	c.Submit = each(submit)
	c.ObservationBytes = (size() - before) / requestsEach
	c.List = each(func(n int) { ask("GET", fmt.Sprintf("/v1/assessments?player=B-%d", n), "") })
	c.Report = each(func(int) { ask("GET", "/v1/assessments/"+last+"/report", "") })
	return c
}

// each does something so often and gives what one takes on average.
func each(do func(int)) cost {
	start, used := time.Now(), processTime()
	for n := range requestsEach {
		do(n)
	}
	cpu := (processTime() - used).Seconds() * 1000 / requestsEach
	return cost{CPU: cpu, DB: max(time.Since(start).Seconds()*1000/requestsEach-cpu, 0)}
}

// processTime is the time that processors spent on this process.
func processTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

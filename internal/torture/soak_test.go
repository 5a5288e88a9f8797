package torture_test

import (
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"rootcue/internal/store/storetest"
)

// gauges are what must stay as it is while a server works for long, and what
// grows with what is stored.
var gauges = []struct {
	name, metric string
	scale        float64
}{
	{"resident, MiB", "process_resident_memory_bytes", 1 << 20},
	{"heap, MiB", "go_memstats_heap_inuse_bytes", 1 << 20},
	{"goroutines", "go_goroutines", 1},
	{"file handles", "process_open_fds", 1},
	{"write-ahead log, MiB", "", 1 << 20},
	{"database, MiB", "", 1 << 20},
	{"observations", "", 1},
}

// A reading is all gauges at one moment.
type reading struct {
	at     time.Duration
	values []float64
}

// soak offers a rate for long, reads the gauges and tells how they went.
func (l *load) soak(t *testing.T, db *sql.DB, c *storetest.Cluster, kind string, rate float64) {
	const parts = 40
	var list []reading
	whole := newOffer(rate)
	for start := time.Now(); time.Since(start) < *soak; {
		o := l.offer(t, rate, max(*soak/parts, 100*time.Millisecond))
		for status, n := range o.shed {
			whole.shed[status] += n
		}
		whole.sent, whole.good, whole.took = whole.sent+o.sent, append(whole.good, o.good...), time.Since(start)
		list = append(list, reading{time.Since(start), l.readings(t, db, c)})
	}
	text := fmt.Sprintf("%s, seed %d; %.0f requests a second for %s: %d sent, %.0f a second good, %d times 429, %d times 503, %s in the middle, %s at the 99th percentile.",
		kind, *seed, rate, whole.took.Round(time.Second), whole.sent, whole.goodput(), whole.shed[429], whole.shed[503], ms(whole.at(50)), ms(whole.at(99)))
	first, last := list[0].values, list[len(list)-1].values
	if n := len(gauges); last[n-1] > first[n-1] {
		text += fmt.Sprintf(" The database grew by %.1f KiB an observation.", (last[n-2]-first[n-2])*1024/(last[n-1]-first[n-1]))
	}
	writeTable(t, "soak-"+kind, text, soakTable(list))
}

func (l *load) readings(t *testing.T, db *sql.DB, c *storetest.Cluster) (values []float64) {
	a := l.must(request{method: "GET", path: "/metrics", key: "torture"}, 200, nil)
	wal, size := sizes(t, db, c, l.database)
	for i, g := range gauges {
		var v float64
		switch {
		case g.metric != "":
			_, after, found := strings.Cut(string(a.body), "\n"+g.metric+" ")
			if _, err := fmt.Sscan(after, &v); err != nil || !found {
				t.Fatalf("no %s in the metrics: %v", g.metric, err)
			}
		case i == len(gauges)-1:
			v = float64(l.stored.Load())
		case i == len(gauges)-2:
			v = size
		default:
			v = wal
		}
		values = append(values, v/g.scale)
	}
	return values
}

// sizes are the bytes of the write-ahead log and of the database.
func sizes(t *testing.T, db *sql.DB, c *storetest.Cluster, at string) (wal, size float64) {
	t.Helper()
	if c != nil {
		err := db.QueryRow(`SELECT (SELECT sum(size) FROM pg_ls_waldir()), pg_database_size(current_database())`).Scan(&wal, &size)
		if err != nil {
			t.Fatal(err)
		}
		return wal, size
	}
	for file, n := range map[string]*float64{at: &size, at + "-wal": &wal} {
		info, err := os.Stat(file)
		if err != nil {
			t.Fatal(err)
		}
		*n = float64(info.Size())
	}
	return wal, size
}

// soakTable gives the first and last reading and the slope of the second half by
// least squares: the first half is where caches fill.
func soakTable(list []reading) string {
	var b strings.Builder
	fmt.Fprintf(&b, "| | first, after %s | half | last, after %s | most | slope of the second half, 1/min |\n| --- | ---: | ---: | ---: | ---: | ---: |\n", list[0].at.Round(time.Second), list[len(list)-1].at.Round(time.Second))
	for i, g := range gauges {
		most := 0.0
		for _, r := range list {
			most = max(most, r.values[i])
		}
		fmt.Fprintf(&b, "| %s | %.1f | %.1f | %.1f | %.1f | %.3f |\n", g.name, list[0].values[i], list[len(list)/2].values[i], list[len(list)-1].values[i], most, slope(list[len(list)/2:], i))
	}
	return b.String()
}

// slope is the change of a gauge a minute, by least squares.
func slope(list []reading, gauge int) float64 {
	var n, x, y, xx, xy float64
	for _, r := range list {
		m := r.at.Minutes()
		n, x, y, xx, xy = n+1, x+m, y+r.values[gauge], xx+m*m, xy+m*r.values[gauge]
	}
	if n < 2 {
		return 0
	}
	return (n*xy - x*y) / (n*xx - x*x)
}

// writeTable prints a table with what else the machine had to do, and keeps it
// where a folder is named.
func writeTable(t *testing.T, name, head, table string) {
	t.Helper()
	busy, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		t.Fatal(err)
	}
	minutes := strings.Fields(string(busy))
	head += fmt.Sprintf(" %d processors; load average at the end %s in the last minute, %s in the last 15.", runtime.NumCPU(), minutes[0], minutes[2])
	t.Logf("%s\n%s\n%s", name, head, table)
	if *tables == "" {
		return
	}
	file := filepath.Join(*tables, strings.ToLower(name)+".md")
	if err := os.WriteFile(file, []byte("# "+strings.ReplaceAll(name, "-", ", ")+"\n\n"+head+"\n\n"+table), 0o644); err != nil {
		t.Fatal(err)
	}
}

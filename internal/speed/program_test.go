package main

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

var lines = flag.Int("lines", 100_000, "how many lines BenchmarkLines sends")

// program is the server, built as README says, in a folder of its own.
func program(b *testing.B) string {
	b.Helper()
	file := filepath.Join(b.TempDir(), "rootcue")
	if out, err := exec.Command("go", "build", "-o", file, "../..").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	return file
}

// A running program on a database file.
type running struct {
	b    *testing.B
	cmd  *exec.Cmd
	base string // of its addresses
}

// serve starts the program and waits until it is ready.
func serve(b *testing.B, program, database string) *running {
	b.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	address := l.Addr().String()
	l.Close()
	p := &running{b, exec.Command(program, "serve", "--listen", address, "--database", database), "http://" + address}
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		b.Fatal(err)
	}
	if line, _ := bufio.NewReader(out).ReadString('\n'); !strings.Contains(line, "listens on") {
		b.Fatalf("the program does not start: %q, %v", line, p.cmd.Wait())
	}
	answer, err := http.Get(p.base + "/readyz")
	if err != nil || answer.StatusCode != http.StatusOK {
		b.Fatal(answer, err)
	}
	answer.Body.Close()
	return p
}

func (p *running) stop() {
	_ = p.cmd.Process.Kill()
	_ = p.cmd.Wait()
}

// held is how much memory the program has by a line of /proc/PID/status, in
// bytes. The system keeps count there, in kB; see proc(5).
func (p *running) held(line string) float64 {
	p.b.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	if err != nil {
		p.b.Fatal(err)
	}
	found := regexp.MustCompile(`(?m)^` + line + `:\s+(\d+) kB$`).FindSubmatch(status)
	if found == nil {
		p.b.Fatalf("no %s in %s", line, status)
	}
	kB, _ := strconv.ParseFloat(string(found[1]), 64)
	return kB * 1024
}

// BenchmarkStart is from nothing, without a database, to the first answer. It
// also says what a server holds that nobody asks for anything: resident, and of
// that its own, which the rest, pages of the program's file, is not.
func BenchmarkStart(b *testing.B) {
	file := program(b)
	var resident, own float64
	for b.Loop() {
		p := serve(b, file, filepath.Join(b.TempDir(), "rootcue.db"))
		b.StopTimer()
		time.Sleep(time.Second)
		resident, own = p.held("VmRSS"), p.held("RssAnon")
		p.stop()
		b.StartTimer()
	}
	b.ReportMetric(resident, "resident-B")
	b.ReportMetric(own, "own-B")
}

// BenchmarkLines sends many observations of six reps in one request, as NDJSON
// that is made while it is sent, and says how much memory the server held at
// most. Run it with -benchtime 1x.
func BenchmarkLines(b *testing.B) {
	file := program(b)
	raw, err := os.ReadFile("../../testdata/observations/off-line.json")
	if err != nil {
		b.Fatal(err)
	}
	before, after, _ := strings.Cut(strings.Join(strings.Fields(string(raw)), ""), `"ref":"P-0733"`)
	for b.Loop() {
		database := filepath.Join(b.TempDir(), "rootcue.db")
		key, err := exec.Command(file, "key", "add", "--club", "Harbour", "--role", "admin", "--database", database).Output()
		if err != nil {
			b.Fatal(err)
		}
		p := serve(b, file, database)
		text, send := io.Pipe()
		go func() {
			w := bufio.NewWriter(send)
			for n := range *lines {
				fmt.Fprintf(w, "%s\"ref\":\"B-%07d\"%s\n", before, n, after)
			}
			send.CloseWithError(w.Flush())
		}()
		request, _ := http.NewRequest("POST", p.base+"/v1/observations", text)
		request.Header.Set("Content-Type", "application/x-ndjson")
		request.Header.Set("Authorization", "Bearer "+string(bytes.TrimSpace(key)))
		answer, err := http.DefaultClient.Do(request)
		if err != nil {
			b.Fatal(err)
		}
		stored := 0
		for in := bufio.NewScanner(answer.Body); in.Scan(); {
			if bytes.Contains(in.Bytes(), []byte(`"stored"`)) {
				stored++
			}
		}
		answer.Body.Close()
		if stored < *lines {
			b.Fatalf("%d of %d stored", stored, *lines)
		}
		b.ReportMetric(p.held("VmHWM"), "most-B")
		p.stop()
	}
	b.ReportMetric(float64(b.N**lines)/b.Elapsed().Seconds(), "lines/s")
}

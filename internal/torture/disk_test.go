//go:build torture

// Taking the disk away asks for root, for room in memory and for strace, so
// that make torture does it and not every test run.

package torture_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// The disk of the embedded database fills up, and its writes fail. Clubs are
// told to come again, and once there is room the server works on.
func TestDiskFaults(t *testing.T) {
	t.Parallel()
	disk := smallDisk(t, "96m")
	s, b := newServer(t, filepath.Join(disk, "club.db")), newBook()
	s.start()
	t.Cleanup(func() { firstFailure(t, s) })
	drivers := newDrivers(s, b, 4)
	under(t, s, drivers, "a full disk", func() {
		ballast := filepath.Join(disk, "ballast")
		f, err := os.Create(ballast)
		if err != nil {
			t.Fatal(err)
		}
		for err == nil { // to the last byte
			_, err = f.Write(make([]byte, 4096))
		}
		f.Close()
		within(t, time.Minute, "503", func() bool { return b.times("503")+b.times("503 in the middle") > 5 })
		if err := os.Remove(ballast); err != nil {
			t.Fatal(err)
		}
	})
	for _, failing := range []string{"pwrite64", "fsync,fdatasync", "pread64"} {
		under(t, s, drivers, "failing "+failing, func() {
			end := inject(t, s, failing+":error=EIO")
			time.Sleep(1500 * time.Millisecond)
			end()
		})
	}
	settle(t, b, drivers)
	db := connect(t, s.database, nil)
	rest(t, b, db)
	check(t, s, b, db, nil)
	b.report(t, "disk faults")
}

// firstFailure shows what the server logged of the first request it failed.
func firstFailure(t *testing.T, s *server) {
	for l := range strings.Lines(s.log()) {
		if strings.Contains(l, `"status":500`) {
			t.Log(l)
			return
		}
	}
}

// smallDisk is a directory in memory that holds so much and no more.
func smallDisk(t *testing.T, size string) string {
	t.Helper()
	dir := t.TempDir()
	if os.Geteuid() != 0 {
		t.Fatal("a small disk can be mounted by root only: run this test as root, in a container if need be")
	}
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size="+size); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	return dir
}

// inject makes system calls of the server fail until end is called.
func inject(t *testing.T, s *server, what string) (end func()) {
	t.Helper()
	calls, _, _ := strings.Cut(what, ":")
	trace := exec.Command("strace", "-f", "-qq", "-o", os.DevNull, "-e", "trace="+calls, "-e", "inject="+what, "-p", fmt.Sprint(s.pid()))
	var errs strings.Builder
	trace.Stderr = &errs
	if err := trace.Start(); err != nil {
		t.Fatalf("%v; install it with: apt-get install -y strace", err)
	}
	return func() {
		if err := trace.Process.Signal(os.Interrupt); err != nil {
			t.Error(err)
		}
		if err := trace.Wait(); err != nil && errs.Len() > 0 {
			t.Errorf("strace: %v: %s", err, errs.String())
		}
	}
}

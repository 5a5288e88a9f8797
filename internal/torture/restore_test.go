package torture_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// A backup that somebody else has had in hand: it is told what is wrong, with
// bounded memory, and nothing of it is restored.
func TestHostileBackup(t *testing.T) {
	t.Parallel()
	at, _ := database(t, "SQLite")
	s := newServer(t, at)
	dir := t.TempDir()
	good, bad := filepath.Join(dir, "good"), filepath.Join(dir, "bad")
	if out, err := s.command("backup", good); err != nil {
		t.Fatal(err, out)
	}
	packed, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(string(text), "\n")
	head, keys := lines[0]+lines[1], lines[2]
	s.database = filepath.Join(dir, "new.db")
	for _, b := range []struct{ name, file, says string }{
		{"an endless line", zeros(t, 256<<20, head+keys+`["`), "a line longer than 64 MiB after 0 rows"},
		{"an endless first line", zeros(t, 256<<20, `{"archive":"`), "want a backup made by rootcue"},
		{"an endless list", pack(head + keys + "[" + strings.Repeat("[],", 10<<20)), "no plain one"},
		{"endless columns", pack(head + `{"table":"keys","columns":[` + strings.Repeat(`"id",`, 1<<20) + `"id"]}`), "no such column, or twice"},
		{"a path for a table", pack(head + `{"table":"../../etc/passwd","columns":["id"]}`), "no such table"},
		{"SQL for a column", pack(head + `{"table":"keys","columns":["id) SELECT 1 --"]}`), "no such column"},
		{"gzip in gzip", pack(pack(head)), "want a backup made by rootcue"},
		{"half a file", pack(head + keys), "cut short"},
	} {
		if err := os.WriteFile(bad, []byte(b.file), 0o600); err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(s.file, "restore", bad, "--database", s.database)
		out, err := cmd.CombinedOutput()
		if cmd.ProcessState == nil {
			t.Fatal(err)
		}
		if cmd.ProcessState.ExitCode() != 1 || !strings.Contains(string(out), b.says) || len(out) > 2000 {
			t.Errorf("%s: exit code %d, %.600s", b.name, cmd.ProcessState.ExitCode(), out)
		}
		if mib := cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss >> 10; mib > 384 {
			t.Errorf("%s needs %d MiB of memory", b.name, mib)
		} else {
			t.Logf("%s: %d MiB", b.name, mib)
		}
	}
	if out, err := s.command("restore", good); err != nil { // it takes a database without clubs only
		t.Errorf("something was restored: %v %s", err, out)
	}
}

// A link laid where a backup is written on its way is not followed.
func TestBackupPastLinks(t *testing.T) {
	t.Parallel()
	at, _ := database(t, "SQLite")
	s := newServer(t, at)
	dir := t.TempDir()
	other, file := filepath.Join(dir, "other"), filepath.Join(dir, "club.backup")
	for path, do := range map[string]func(string) error{
		other:          func(path string) error { return os.WriteFile(path, []byte("kept"), 0o600) },
		file + ".part": func(path string) error { return os.Symlink(other, path) },
	} {
		if err := do(path); err != nil {
			t.Fatal(err)
		}
	}
	if out, err := s.command("backup", file); err != nil {
		t.Errorf("%v %s", err, out)
	}
	if kept, err := os.ReadFile(other); err != nil || string(kept) != "kept" {
		t.Errorf("the file behind the link has become %.40q, %v", kept, err)
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 3 {
		t.Errorf("%v are left, %v", left, err)
	}
	if err := os.Symlink(filepath.Join(dir, "nowhere"), file+".2"); err != nil {
		t.Fatal(err)
	}
	if out, err := s.command("backup", file+".2"); err == nil {
		t.Errorf("written through a link: %s", out)
	}
}

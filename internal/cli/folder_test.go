package cli

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// A folder of rubrics is read and nothing beside it, however its files are
// made; links within it are good, as a mounted configuration has them.
func TestFolderTricks(t *testing.T) {
	dir, outside := t.TempDir(), t.TempDir()
	write := func(file, text string) {
		t.Helper()
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	link := func(to, name string) {
		t.Helper()
		if err := os.Symlink(to, filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
	}
	write(filepath.Join(outside, "secret.yaml"), "the secret")
	if err := os.Mkdir(filepath.Join(dir, "..data"), 0o700); err != nil {
		t.Fatal(err)
	}
	write(filepath.Join(dir, "..data", "own.yaml"), "good")
	link("..data/own.yaml", "own.yaml")
	link(filepath.Join(outside, "secret.yaml"), "abroad.yaml")
	link("../"+filepath.Base(outside)+"/secret.yaml", "climbing.yaml")
	link("/dev/zero", "endless.yaml")
	link("round.yaml", "round.yaml")
	link(outside, "workload")
	write(filepath.Join(dir, "large.yaml"), strings.Repeat(" ", largestFile+1))
	if err := os.Mkdir(filepath.Join(dir, "folder.yaml"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mkfifo(filepath.Join(dir, "pipe.yaml"), 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := openFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if b, err := fs.ReadFile(f, "own.yaml"); err != nil || string(b) != "good" {
		t.Errorf("a link within the folder: %q, %v", b, err)
	}
	for _, name := range []string{"abroad.yaml", "climbing.yaml", "endless.yaml", "round.yaml", "large.yaml", "folder.yaml", "pipe.yaml", "workload/secret.yaml", "../" + filepath.Base(outside) + "/secret.yaml", "gone.yaml"} {
		if b, err := fs.ReadFile(f, name); err == nil {
			t.Errorf("%s is read: %.20q", name, b)
		}
	}
	if _, _, err := readFolder(f); err == nil {
		t.Error("a folder with such files is taken")
	}
	if _, err := openFolder(filepath.Join(dir, "own.yaml")); err == nil {
		t.Error("a file is opened as a folder")
	}
}

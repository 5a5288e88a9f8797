package supply

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/licensecheck"
)

// A module is one built into the program.
type module struct {
	Path, Version, Dir string
	Main               bool
}

// modules are those that packages of the program come from, as it is built for
// Linux: what only tests and tools need is not among them.
func modules(t *testing.T) (list []module) {
	t.Helper()
	cmd := exec.Command("go", "list", "-deps", "-json=Module", "../..")
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS=linux", "GOARCH=amd64")
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p struct{ Module *module }
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		if m := p.Module; m != nil && !m.Main && !slices.Contains(list, *m) {
			list = append(list, *m)
		}
	}
	slices.SortFunc(list, func(a, b module) int { return strings.Compare(a.Path, b.Path) })
	return list
}

// good are the licences (SPDX) under which a module may be built in: they ask for
// their text to go along and for nothing of the program. MPL-2.0 asks besides
// that the module's own files stay open, which they are: none is changed here.
var good = []string{"Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "ISC", "MIT", "MPL-2.0"}

// licences are those of a module's files that hold one.
func (m module) licences(t *testing.T) (files, names []string) {
	t.Helper()
	entries, err := os.ReadDir(m.Dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		upper := strings.ToUpper(e.Name())
		if e.IsDir() || !strings.HasPrefix(upper, "LICEN") && !strings.HasPrefix(upper, "COPYING") {
			continue
		}
		text, err := os.ReadFile(filepath.Join(m.Dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		for _, match := range licensecheck.Scan(text).Match {
			if !match.IsURL && !slices.Contains(names, match.ID) {
				names = append(names, match.ID)
			}
		}
		files = append(files, e.Name())
	}
	slices.Sort(names)
	return files, names
}

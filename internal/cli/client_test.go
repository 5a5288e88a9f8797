package cli_test

import (
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
)

// typedClient: a general generator makes a typed client of the OpenAPI
// document; testdata/client drives the server with it.
func (b binary) typedClient(t *testing.T) {
	p := b.serve(t, "--demo")
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../testdata/client")); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(dir, "rootcue"), 0o755); err != nil {
		t.Fatal(err)
	}
	save(t, p.base+"/openapi.json", filepath.Join(dir, "openapi.json"))
	in := func(args ...string) string {
		t.Helper()
		cmd := exec.Command("go", args...)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("go %s: %v\n%s", strings.Join(args, " "), err, out)
		}
		return string(out)
	}
	in("tool", "oapi-codegen", "-generate", "types,client", "-package", "rootcue", "-o", "rootcue/client.go", "openapi.json")
	key := regexp.MustCompile(`submit +(rc_\S+)`).FindStringSubmatch(p.welcome)[1]
	want := `stored
P-3001 20.25 deg
stride-off-line fault
/problems/not-valid: /player/age: found 140, wanted the playing age in whole years, 1 to 99
`
	if got := in("run", ".", p.base, key); got != want {
		t.Errorf("the client prints\n%swanted\n%s", got, want)
	}
	p.stop(t, syscall.SIGTERM)
}

// save writes what an address answers to a file.
func save(t *testing.T, address, file string) {
	t.Helper()
	res, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != 200 {
		t.Fatalf("%s: %d, %v", address, res.StatusCode, err)
	}
	if err := os.WriteFile(file, b, 0o644); err != nil {
		t.Fatal(err)
	}
}

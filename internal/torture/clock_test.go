package torture_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A server whose clock is hours or days from the database's does not start; one
// whose clock goes wrong later says that it is not ready, until it is right again.
func TestClocks(t *testing.T) {
	t.Parallel()
	const source, clock = "internal/store/sqlstore/db.go", "db.Clock = time.Now\n"
	text, err := os.ReadFile(filepath.Join("../..", source))
	if err != nil || !strings.Contains(string(text), clock) {
		t.Fatalf("no clock to set wrong in %s: %v", source, err)
	}
	wrong := strings.Replace(string(text), clock, `db.Clock = func() time.Time {
		text, _ := os.ReadFile(os.Getenv("TORTURE_CLOCK"))
		off, _ := time.ParseDuration(string(text))
		return time.Now().Add(off)
	}
`, 1)
	file, err := built("clock", map[string]string{source: strings.Replace(wrong, "import (\n", "import (\n\t\"os\"\n", 1)})
	if err != nil {
		t.Fatal(err)
	}
	at, _ := database(t, "PostgreSQL")
	s := newServer(t, at)
	setting := filepath.Join(t.TempDir(), "clock")
	s.file, s.env = file, []string{"TORTURE_CLOCK=" + setting}
	set := func(off string) {
		if err := os.WriteFile(setting, []byte(off), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for off, says := range map[string]string{"1h": "1h0m0s ahead of", "-26h": "26h0m0s behind", "45s": "45s ahead of", "-6s": "6s behind"} {
		set(off)
		if err := s.tryStart(); err == nil || !strings.Contains(err.Error(), "the clocks differ: this machine's is "+says) {
			t.Errorf("%s off: %v", off, err)
		}
	}
	set("2s")
	s.start()
	for _, step := range []struct {
		off    string
		status int
	}{{"2s", 200}, {"3h", 503}, {"-72h", 503}, {"0s", 200}} {
		set(step.off)
		s.must(request{method: "GET", path: "/readyz"}, step.status, nil)
	}
}

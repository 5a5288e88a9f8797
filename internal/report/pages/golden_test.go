package pages_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// golden holds a text; UPDATE_REPORTS=1 writes it anew.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("..", "..", "..", "testdata", "pages", name+".golden")
	if os.Getenv("UPDATE_REPORTS") != "" {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got):\n%s", file, diff)
	}
}

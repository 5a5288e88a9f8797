package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// A ban forbids a folder to import something, and says why.
type ban struct{ folder, imports, why string }

// bans is the import table: main → internal/cli → api → internal/club →
// internal/store → engine, one direction.
var bans = []ban{
	{"engine", "rootcue/internal", "the engine is public and pure: another program embeds it without the service"},
	{"engine", "rootcue/api", "the engine is public and pure: another program embeds it without the service"},
	{"engine", "rootcue/rubrics", "the engine judges by any rubric it is handed, not by those we ship"},
	{"engine", "rootcue/migrations", "the engine keeps nothing"},
	{"engine", "net/http", "the engine does no I/O"},
	{"engine", "net", "the engine does no I/O"},
	{"engine", "os", "the engine does no I/O"},
	{"engine", "log", "the engine returns what it has to say"},
	{"engine", "log/slog", "the engine returns what it has to say"},
	{"engine", "time", "the engine has no clock: the same input gives the same answer on any day"},
	{"engine", "math/rand", "the engine leaves nothing to chance"},
	{"engine", "math/rand/v2", "the engine leaves nothing to chance"},
	{"engine", "crypto/rand", "the engine leaves nothing to chance"},
	{"engine", "database/sql", "the engine keeps nothing"},
	{"rubrics", "rootcue", "the shipped files carry no code"},
	{"migrations", "rootcue", "the migrations carry no code"},
	{"internal/store", "rootcue/internal/club", "what is kept does not know what it is used for"},
	{"internal/store", "rootcue/api", "what is kept does not know what it is used for"},
	{"internal/store", "rootcue/internal/cli", "what is kept does not know what it is used for"},
	{"internal/store", "rootcue/internal/report", "what is kept is not shown here"},
	{"internal/club", "rootcue/api", "use cases do not know HTTP"},
	{"internal/club", "rootcue/internal/cli", "use cases do not know the command line"},
	{"internal/club", "github.com/gin-gonic/gin", "use cases do not know HTTP"},
	{"internal/club", "database/sql", "use cases talk to the store's interfaces, not to SQL"},
	{"internal/club", "github.com/jmoiron/sqlx", "use cases talk to the store's interfaces, not to SQL"},
	{"internal/jobs", "rootcue/api", "work that outlives a request does not know HTTP's requests"},
	{"internal/jobs", "rootcue/internal/cli", "work that outlives a request does not know the command line"},
	{"internal/jobs", "rootcue/internal/report", "jobs run use cases; what is shown is not made here"},
	{"internal/jobs", "github.com/gin-gonic/gin", "work that outlives a request does not know HTTP's requests"},
	{"internal/webhook", "rootcue/internal/store", "a sender is handed what it sends"},
	{"internal/webhook", "rootcue/internal/club", "a sender is handed what it sends"},
	{"internal/webhook", "rootcue/api", "a sender does not know what the message is about"},
	{"internal/webhook", "database/sql", "a sender keeps nothing"},
	{"internal/report", "rootcue/internal/store", "pages are made from an assessment, wherever it comes from"},
	{"internal/report", "rootcue/internal/club", "pages are made from an assessment, wherever it comes from"},
	{"internal/report", "rootcue/api", "pages do not know HTTP"},
	{"internal/capacity", "rootcue", "a plan is made of what was measured, not of the program"},
	{"api", "rootcue/internal/cli", "the service does not know the command line"},
	{"api", "rootcue/internal/store/sqlstore", "handlers call use cases, not SQL"},
	{"api", "database/sql", "handlers call use cases, not SQL"},
	{"api", "github.com/jmoiron/sqlx", "handlers call use cases, not SQL"},
}

// TestImports holds the import table.
func TestImports(t *testing.T) {
	seen := map[string]bool{}
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, spec := range file.Imports {
			name, _ := strconv.Unquote(spec.Path.Value)
			for _, b := range bans {
				if within(filepath.ToSlash(path), b.folder) {
					seen[b.folder] = true
					if within(name, b.imports) && !(b.imports == "net" && name != "net") {
						t.Errorf("%s imports %s: %s", path, name, b.why)
					}
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range bans {
		if !seen[b.folder] {
			t.Errorf("the table names %s, which has no Go file", b.folder)
		}
	}
}

func within(path, folder string) bool {
	return path == folder || strings.HasPrefix(path, folder+"/")
}

// TestTopLevel keeps the top of the tree to what the layout names.
func TestTopLevel(t *testing.T) {
	want := []string{".ci", ".editorconfig", ".git", ".gitattributes", ".github", ".gitignore", ".golangci.yml", ".build", "DEVELOPERS.md", "LICENSE", "Makefile",
		"README.md", "api", "engine", "go.mod", "go.sum", "internal", "main.go", "main_test.go", "migrations", "rubrics", "testdata"}
	entries, err := filepath.Glob("*")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !slices.Contains(want, e) && !strings.HasSuffix(e, ".db") && !strings.HasSuffix(e, ".db-wal") && !strings.HasSuffix(e, ".db-shm") {
			t.Errorf("%s is not part of the layout", e)
		}
	}
}

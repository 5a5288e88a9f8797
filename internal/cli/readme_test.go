package cli_test

import (
	"bytes"
	"context"
	"database/sql"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"rootcue/internal/store/storetest"
)

var update = flag.Bool("update", false, "rewrite the README's outputs")

// TestReadme runs every command the README shows, in a copy of the tree's data,
// and compares the output shown. Each console block is one shell session.
func TestReadme(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	readme, err := os.ReadFile(filepath.Join(root, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	dir := workplace(t, root)
	postgresOfTheReadme(t)
	blocks := consoleBlocks(string(readme))
	if len(blocks) == 0 {
		t.Fatal("the README shows no command")
	}
	out := string(readme)
	for _, b := range blocks {
		got := b.run(t, dir)
		if *update {
			out = strings.Replace(out, b.text, got, 1)
			continue
		}
		if diff := cmp.Diff(b.text, got); diff != "" {
			said, _ := os.ReadFile(filepath.Join(dir, "server.log")) // of a block that has one
			t.Errorf("README.md:%d: the output is another (- shown, + got):\n%s\n%s", b.line, diff, said)
		}
	}
	if *update {
		if err := os.WriteFile(filepath.Join(root, "README.md"), []byte(out), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// postgresOfTheReadme is a server with an empty database as the README has it
// made, found by the variables that all PostgreSQL programs know.
func postgresOfTheReadme(t *testing.T) {
	cluster, err := storetest.NewCluster("fsync=off")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := cluster.Stop(); err != nil {
			t.Error(err)
		}
	})
	db, err := sql.Open("postgres", cluster.URL("postgres", "postgres"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec("CREATE DATABASE rootcue OWNER " + storetest.Role); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PGHOST", cluster.Dir)
	t.Setenv("PGUSER", storetest.Role)
	t.Setenv("PGSSLMODE", "disable")
}

// workplace is a folder with the program built and the data the README names.
func workplace(t *testing.T, root string) string {
	dir := t.TempDir()
	build := exec.Command("go", "build", "-o", filepath.Join(dir, "rootcue"), ".")
	build.Dir = root
	if b, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, b)
	}
	for _, name := range []string{"rubrics", "testdata"} {
		if err := os.CopyFS(filepath.Join(dir, name), os.DirFS(filepath.Join(root, name))); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// A block is one console block: its text, and the line it starts on.
type block struct {
	text string
	line int
}

func consoleBlocks(md string) (list []block) {
	line := 1
	for len(md) > 0 {
		start := strings.Index(md, "```console\n")
		if start < 0 {
			break
		}
		start += len("```console\n")
		end := start + strings.Index(md[start:], "```")
		line += strings.Count(md[:start], "\n")
		list = append(list, block{md[start:end], line})
		line += strings.Count(md[start:end], "\n")
		md = md[end:]
	}
	return list
}

// run runs the commands of a block in one shell and gives the block with the
// output they have. A command that ends in & runs in the background; the block
// goes on when the server answers, and must stop it, for the next one's sake.
func (b block) run(t *testing.T, dir string) string {
	var script bytes.Buffer
	commands := b.commands()
	for i, c := range commands {
		fmt.Fprintf(&script, "echo '@@%d'\n%s\n", i, strings.ReplaceAll(c, "go run .", "./rootcue"))
		if strings.HasSuffix(c, "&") {
			script.WriteString("for i in $(seq 100); do curl -sf -o /dev/null http://127.0.0.1:8080/healthz && break; sleep 0.1; done\n")
		}
	}
	script.WriteString("for i in $(seq 100); do [ -z \"$(jobs -pr)\" ] && exit 0; sleep 0.1; done; kill $(jobs -p); echo 'a server is left running'; exit 1\n")
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "bash", "-c", script.String())
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "NO_COLOR=1", "COLUMNS=100")
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Errorf("README.md:%d: %v\n%s", b.line, err, out)
	}
	return rejoin(commands, string(out))
}

// commands are the lines after "$ ", with those a backslash continues.
func (b block) commands() (list []string) {
	lines := strings.Split(b.text, "\n")
	for i := 0; i < len(lines); i++ {
		c, ok := strings.CutPrefix(lines[i], "$ ")
		if !ok {
			continue
		}
		for strings.HasSuffix(c, "\\") && i+1 < len(lines) {
			i++
			c += "\n" + lines[i]
		}
		list = append(list, c)
	}
	return list
}

func rejoin(commands []string, out string) string {
	var b strings.Builder
	for i, c := range commands {
		b.WriteString("$ " + c + "\n")
		_, rest, _ := strings.Cut(out, fmt.Sprintf("@@%d\n", i))
		rest, _, _ = strings.Cut(rest, fmt.Sprintf("@@%d\n", i+1))
		b.WriteString(rest)
	}
	return b.String()
}

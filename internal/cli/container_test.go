package cli_test

import (
	"bytes"
	"debug/elf"
	"encoding/json"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

// A containerFile is what .ci/Containerfile says of the image.
type containerFile struct {
	copied      []string // from the tree, as paths there
	build       string   // the command that makes the program
	env         []string
	start, ask  []string // the server, and the health check
	user, group uint32
}

func readContainerFile(t *testing.T) (c containerFile) {
	t.Helper()
	b, err := os.ReadFile("../../.ci/Containerfile")
	if err != nil {
		t.Fatal(err)
	}
	words := func(list string) (words []string) {
		if err := json.Unmarshal([]byte(list), &words); err != nil {
			t.Fatalf("%s: %v", list, err)
		}
		return words
	}
	for line := range strings.Lines(string(b)) {
		verb, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
		switch {
		case verb == "COPY" && !strings.HasPrefix(rest, "--"):
			fields := strings.Fields(rest)
			c.copied = append(c.copied, fields[:len(fields)-1]...)
		case verb == "RUN" && strings.Contains(rest, "go build"):
			c.build = rest
		case verb == "ENV":
			c.env = strings.Fields(rest) // those of the last stage hold
		case verb == "ENTRYPOINT", verb == "CMD":
			c.start = append(c.start, words(rest)...)
		case verb == "HEALTHCHECK":
			_, command, _ := strings.Cut(rest, "CMD ")
			c.ask = words(command)
		case verb == "USER":
			if rest != "65532:65532" {
				t.Fatalf("the image runs as %s, wanted 65532:65532", rest)
			}
			c.user, c.group = 65532, 65532
		}
	}
	return c
}

// The image as far as it goes without a container engine: its build command
// makes a static program, from nothing but what the file copies; that starts in
// a root with nothing else in it, as a user without rights, and answers its own
// health check.
func TestContainerFile(t *testing.T) {
	c := readContainerFile(t)
	top, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	root := t.TempDir()
	c.holdsWhatIsBuilt(t, top)
	build := exec.Command("sh", "-c", strings.ReplaceAll(c.build, "/image/", root+"/"))
	build.Dir = top
	if out, err := build.CombinedOutput(); err != nil || c.build == "" {
		t.Fatalf("%q: %v\n%s", c.build, err, out)
	}
	program, err := elf.Open(filepath.Join(root, "rootcue"))
	if err != nil {
		t.Fatal(err)
	}
	defer program.Close()
	if libraries, err := program.ImportedLibraries(); err != nil || len(libraries) > 0 || program.Section(".interp") != nil {
		t.Errorf("the program is not static: %v, %v", libraries, err)
	}
	data := filepath.Join(root, "data")
	if err := os.Mkdir(data, 0o700); err != nil {
		t.Fatal(err)
	}
	openTheWay(t, root)
	if os.Getuid() == 0 {
		if err := os.Chown(data, int(c.user), int(c.group)); err != nil {
			t.Fatal(err)
		}
	}
	address := freeAddress(t)
	c.env = append(c.env, "ROOTCUE_LISTEN="+address) // the last one counts
	run := func(args ...string) (*exec.Cmd, *bytes.Buffer) {
		cmd, out := exec.Command(args[0], args[1:]...), &bytes.Buffer{}
		cmd.Env, cmd.Dir, cmd.Stdout, cmd.Stderr = c.env, "/data", out, out
		cmd.SysProcAttr = &syscall.SysProcAttr{Chroot: root, Credential: &syscall.Credential{Uid: c.user, Gid: c.group, NoSetGroups: os.Getuid() != 0}}
		if os.Getuid() != 0 { // a root of one's own, where the kernel gives one
			cmd.SysProcAttr.Cloneflags = syscall.CLONE_NEWUSER
			cmd.SysProcAttr.UidMappings = []syscall.SysProcIDMap{{ContainerID: int(c.user), HostID: os.Getuid(), Size: 1}}
			cmd.SysProcAttr.GidMappings = []syscall.SysProcIDMap{{ContainerID: int(c.group), HostID: os.Getgid(), Size: 1}}
		}
		return cmd, out
	}
	if ask, out := run(c.ask...); ask.Run() == nil {
		t.Errorf("the health check of no server says %s", out)
	}
	server, out := run(c.start...)
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	defer server.Process.Kill() // it has ended when all went well
	healthy := false
	for end := time.Now().Add(20 * time.Second); !healthy && time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		ask, _ := run(c.ask...)
		healthy = ask.Run() == nil
	}
	if !healthy {
		_ = server.Process.Kill()
		_ = server.Wait() // until then what it says may still be written
		t.Fatalf("the server does not answer its health check: %s", out)
	}
	if res, err := http.Get("http://" + address + "/healthz"); err != nil || res.StatusCode != 200 {
		t.Errorf("found %v, %v", res, err)
	}
	if info, err := os.Stat(filepath.Join(data, "rootcue.db")); err != nil || info.Sys().(*syscall.Stat_t).Uid == 0 {
		t.Errorf("the database is not the user's: %v", err)
	}
	add, key := run("/rootcue", "key", "add", "--club", "Harbour", "--role", "admin")
	if err := add.Run(); err != nil || !strings.HasPrefix(key.String(), "rc_") {
		t.Errorf("the first key: %v, %s", err, key)
	}
	if err := server.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if err := server.Wait(); err != nil {
		t.Errorf("the server ends with %v: %s", err, out)
	}
}

// holdsWhatIsBuilt fails for a package of the program that is not copied.
func (c containerFile) holdsWhatIsBuilt(t *testing.T, top string) {
	t.Helper()
	list := exec.Command("go", "list", "-deps", "-f", `{{with .Module}}{{if .Main}}{{$.Dir}}{{end}}{{end}}`, ".")
	list.Dir = top
	out, err := list.Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, dir := range strings.Fields(string(out)) {
		name, err := filepath.Rel(top, dir)
		if err != nil {
			t.Fatal(err)
		}
		if name == "." {
			name = "main.go"
		}
		if !slices.ContainsFunc(c.copied, func(have string) bool { return name == have || strings.HasPrefix(name, have+"/") }) {
			t.Errorf("the image is built without %s", name)
		}
	}
}

// openTheWay lets everybody pass through the test's own folders.
func openTheWay(t *testing.T, dir string) {
	t.Helper()
	for ; dir != filepath.Clean(os.TempDir()); dir = filepath.Dir(dir) {
		if err := os.Chmod(dir, 0o755); err != nil {
			t.Fatal(err)
		}
	}
}

// freeAddress is one nobody listens on.
func freeAddress(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

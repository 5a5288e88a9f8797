package main

import (
	"encoding/xml"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The general libraries come to the same as our own compiler.
func TestLibrariesAgree(t *testing.T) {
	cmd := exec.Command("go", "test", ".")
	cmd.Dir = "../../testdata/speed/libraries"
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}

// The command runs, and what it writes is whole: every row has its times, the
// picture is XML with a title. How fast anything was is not looked at.
func TestMeasure(t *testing.T) {
	out := t.TempDir()
	if err := measure(settings{root: "../..", out: out, time: "1x", count: 1, rows: "100,300", lines: 300}); err != nil {
		t.Fatal(err)
	}
	read := func(name string) string {
		text, err := os.ReadFile(filepath.Join(out, name))
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	table := read("speed.md")
	for _, row := range rows {
		if !strings.Contains(table, "| "+row.what+" | ") {
			t.Errorf("no row %s in\n%s", row.what, table)
		}
	}
	for _, bad := range []string{"NaN", "Inf"} {
		if strings.Contains(table, bad) {
			t.Errorf("%s in\n%s", bad, table)
		}
	}
	d := xml.NewDecoder(strings.NewReader(read("curves.svg")))
	seen := map[string]int{}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if start, ok := token.(xml.StartElement); ok {
			seen[start.Name.Local]++
		}
	}
	if seen["title"] != 1 || seen["desc"] != 1 || seen["polyline"] != len(growth) {
		t.Errorf("the picture has %v", seen)
	}
	again, err := readResults([]byte(read("benchmarks.txt")))
	if err != nil || len(again) == 0 {
		t.Errorf("the raw lines read back: %d, %v", len(again), err)
	}
}

package supply

import (
	"bytes"
	"encoding/csv"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	cyclonedx "github.com/CycloneDX/cyclonedx-go"
	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

var update = flag.Bool("update", false, "write the files anew")

// The files say what is built in, no more and no less; every module has a
// licence that lets it be; the bill of materials is one by its own schema.
func TestSupply(t *testing.T) {
	var table bytes.Buffer
	rows := csv.NewWriter(&table)
	_ = rows.Write([]string{"module", "version", "licence", "file"}) // into memory
	bom := cyclonedx.NewBOM()
	bom.SpecVersion, bom.JSONSchema = cyclonedx.SpecVersion1_6, "http://cyclonedx.org/schema/bom-1.6.schema.json"
	bom.Metadata = &cyclonedx.Metadata{Component: &cyclonedx.Component{Type: cyclonedx.ComponentTypeApplication, Name: "rootcue", BOMRef: "rootcue"}}
	var components []cyclonedx.Component
	var needs []string
	for _, m := range modules(t) {
		files, names := m.licences(t)
		if len(names) == 0 {
			t.Errorf("%s %s has no licence that is known, in %q", m.Path, m.Version, files)
		}
		var choices cyclonedx.Licenses
		for _, name := range names {
			if !slices.Contains(good, name) {
				t.Errorf("%s %s: found the licence %s, wanted one of %s", m.Path, m.Version, name, strings.Join(good, " "))
			}
			choices = append(choices, cyclonedx.LicenseChoice{License: &cyclonedx.License{ID: name}})
		}
		_ = rows.Write([]string{m.Path, m.Version, strings.Join(names, " and "), strings.Join(files, " ")}) // into memory
		at := "pkg:golang/" + m.Path + "@" + m.Version
		components = append(components, cyclonedx.Component{Type: cyclonedx.ComponentTypeLibrary, BOMRef: at, PackageURL: at, Name: m.Path, Version: m.Version, Scope: cyclonedx.ScopeRequired, Licenses: &choices})
		needs = append(needs, at)
	}
	rows.Flush()
	bom.Components = &components
	bom.Dependencies = &[]cyclonedx.Dependency{{Ref: "rootcue", Dependencies: &needs}}
	var bill bytes.Buffer
	if err := cyclonedx.NewBOMEncoder(&bill, cyclonedx.BOMFileFormatJSON).SetPretty(true).EncodeVersion(bom, cyclonedx.SpecVersion1_6); err != nil {
		t.Fatal(err)
	}
	hold(t, "licences.csv", table.Bytes())
	hold(t, "bom.cdx.json", bill.Bytes())
	valid(t, bill.Bytes())
}

// hold compares a file with what it shall hold, or writes it with -update.
func hold(t *testing.T, file string, want []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s is not what is built in (-built +file); go test ./internal/supply -update writes it\n%s", file, diff)
	}
}

// valid holds a bill of materials against the published schema (CycloneDX 1.6),
// which comes with the CycloneDX project's own library.
func valid(t *testing.T, bill []byte) {
	t.Helper()
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/CycloneDX/cyclonedx-go").Output()
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	for url, file := range map[string]string{"bom-1.6.schema.json": "", "spdx.schema.json": "", "jsf-0.82.schema.json": "jsf-0.82.schemax.json"} {
		if file == "" {
			file = url
		}
		text, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(dir)), "schema", file))
		if err != nil {
			t.Fatal(err)
		}
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if err := compiler.AddResource("http://cyclonedx.org/schema/"+url, doc); err != nil {
			t.Fatal(err)
		}
	}
	schema, err := compiler.Compile("http://cyclonedx.org/schema/bom-1.6.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(bill))
	if err != nil {
		t.Fatal(err)
	}
	if err := schema.Validate(doc); err != nil {
		t.Error(err)
	}
}

package workload_test

import (
	"os"
	"path/filepath"
	"testing"

	"rootcue/engine/workload"
)

// shipped reads a policy that comes with the program.
func shipped(t testing.TB, name string) *workload.Policy {
	t.Helper()
	file := filepath.Join("..", "..", "rubrics", "workload", name+".yaml")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	p, problems := workload.Parse(file, data)
	for _, problem := range problems {
		t.Errorf("%s:%d:%d: %s; wanted %s (%s)", problem.File, problem.Line, problem.Column, problem.Found, problem.Wanted, problem.Hint)
	}
	if p == nil {
		t.Fatal("no policy")
	}
	return p
}

func TestShippedPolicies(t *testing.T) {
	files, err := filepath.Glob("../../rubrics/workload/*.yaml")
	if err != nil || len(files) != 3 {
		t.Fatalf("found %v, %v", files, err)
	}
	for _, f := range files {
		name := f[len("../../rubrics/workload/") : len(f)-len(".yaml")]
		p := shipped(t, name)
		if p.Name != name || p.Source.By == "" || p.Source.Edition == "" || p.Source.Read.IsZero() || len(p.Examples) == 0 {
			t.Errorf("%s: policy %q, source %v, %d examples", f, p.Name, p.Source, len(p.Examples))
		}
	}
}

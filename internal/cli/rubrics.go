package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/rubrics"
)

// A source is a document with the name it was asked for by.
type source struct {
	name string
	data []byte
}

// shippedRubric gives the bytes of a rubric that comes with the program.
func shippedRubric(name string) ([]byte, bool) {
	b, err := rubrics.Files.ReadFile(name + ".yaml")
	return b, err == nil
}

// findRubric reads NAME|FILE: a shipped rubric by its name, else a file.
func findRubric(nameOrFile string) (source, func(string) ([]byte, bool), error) {
	if b, ok := shippedRubric(nameOrFile); ok {
		return source{nameOrFile + ".yaml", b}, shippedRubric, nil
	}
	if err := noFolder(nameOrFile); err != nil {
		return source{}, nil, err
	}
	b, err := os.ReadFile(nameOrFile)
	if errors.Is(err, fs.ErrNotExist) && !strings.ContainsAny(nameOrFile, "./") {
		return source{}, nil, badUsage("no rubric %q; wanted a file or one of %s", nameOrFile, place.List(shippedNames()))
	}
	if err != nil {
		return source{}, nil, cannotRun("%v", err)
	}
	return source{nameOrFile, b}, besides(nameOrFile), nil
}

// besides finds rubrics of the same folder as a file, then the shipped ones.
func besides(file string) func(string) ([]byte, bool) {
	return func(name string) ([]byte, bool) {
		if strings.ContainsAny(name, `/\`) {
			return nil, false
		}
		if b, err := os.ReadFile(filepath.Join(filepath.Dir(file), name+".yaml")); err == nil {
			return b, true
		}
		return shippedRubric(name)
	}
}

func shippedNames() []string {
	files, _ := fs.Glob(rubrics.Files, "*.yaml")
	for i, f := range files {
		files[i] = strings.TrimSuffix(f, ".yaml")
	}
	return files
}

// loadRubric reads and compiles NAME|FILE; a rubric that cannot be used is bad
// input with every problem.
func loadRubric(nameOrFile string) (*rubric.Rubric, error) {
	src, others, err := findRubric(nameOrFile)
	if err != nil {
		return nil, err
	}
	r, problems := rubric.Parse(src.name, src.data, others)
	if r == nil {
		return nil, badInput("%s is no usable rubric\n%s", src.name, strings.TrimRight(place.Render(problems, sourceOf(src, others)), "\n"))
	}
	return r, nil
}

// sourceOf gives the text of a checked file, or of one it extends.
func sourceOf(src source, others func(string) ([]byte, bool)) func(string) []byte {
	return func(file string) []byte {
		if file == src.name {
			return src.data
		}
		b, _ := others(strings.TrimSuffix(file, ".yaml"))
		return b
	}
}

// rubricShelf compiles each rubric an observation names, once.
type rubricShelf struct {
	fixed *rubric.Rubric // with --rubric, all observations are judged by it
	read  map[string]*rubric.Rubric
}

func newShelf(nameOrFile string) (*rubricShelf, error) {
	shelf := &rubricShelf{read: map[string]*rubric.Rubric{}}
	if nameOrFile == "" {
		return shelf, nil
	}
	var err error
	shelf.fixed, err = loadRubric(nameOrFile)
	return shelf, err
}

// of finds the rubric for an observation, or the problem with its name.
func (s *rubricShelf) of(name string) (*rubric.Rubric, *place.Problem) {
	if s.fixed != nil {
		return s.fixed, nil
	}
	if r := s.read[name]; r != nil {
		return r, nil
	}
	if name == "" {
		return nil, &place.Problem{Code: "missing-key", Found: `no "rubric"`, Wanted: place.List(shippedNames()), Hint: "or give a file with --rubric"}
	}
	b, ok := shippedRubric(name)
	if !ok {
		return nil, &place.Problem{Code: "unknown-rubric", Pointer: "/rubric", Found: fmt.Sprintf("the rubric %q", name), Wanted: place.List(shippedNames()), Hint: "or give a file with --rubric"}
	}
	r, problems := rubric.Parse(name+".yaml", b, shippedRubric)
	if r == nil {
		return nil, &problems[0]
	}
	s.read[name] = r
	return r, nil
}

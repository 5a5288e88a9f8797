package api

import (
	"context"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"

	"rootcue/engine"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/engine/workload"
	"rootcue/rubrics"
)

// Rubrics is where handlers find rubrics: those of the caller's club where a
// club is known, else those of the server.
type Rubrics interface {
	// Names lists the rubrics in order.
	Names(ctx context.Context) ([]string, error)
	// Rubric gives the newest version of a rubric; nil if there is none.
	Rubric(ctx context.Context, name string) (*Published, error)
}

// Published is one version of a rubric, ready to judge by.
type Published struct {
	Rubric   *rubric.Rubric
	Version  int // from 1
	Source   []byte
	Warnings []place.Problem
}

// A Shelf holds the rubrics and workload policies that come with the program,
// and those of a folder, which win over shipped ones of the same name. Each is
// compiled once, when first asked for. It is safe in all goroutines.
type Shelf struct {
	rubrics  map[string]func() (*Published, error)
	sources  map[string][]byte
	policies map[string]func() (*workload.Policy, error)
}

// ShippedShelf holds what comes with the program.
func ShippedShelf() *Shelf {
	s, problems, err := NewShelf(nil)
	if err != nil || place.Failed(problems) {
		panic("api: the shipped rubrics cannot be read") // they are embedded and tested
	}
	return s
}

// NewShelf adds the *.yaml of a folder to the shipped rubrics, and its
// workload/*.yaml to the shipped policies. Every file of the folder is checked
// at once; with problems that are no warnings the shelf must not be used.
func NewShelf(folder fs.FS) (*Shelf, []place.Problem, error) {
	s := &Shelf{rubrics: map[string]func() (*Published, error){}, sources: map[string][]byte{}, policies: map[string]func() (*workload.Policy, error){}}
	if err := s.add(rubrics.Files); err != nil {
		return nil, nil, err
	}
	if folder == nil {
		return s, nil, nil
	}
	if err := s.add(folder); err != nil {
		return nil, nil, err
	}
	return s, s.check(folder), nil
}

func (s *Shelf) add(folder fs.FS) error {
	return eachYAML(folder, func(dir, name string, data []byte) {
		if dir == "." {
			s.sources[name] = data
			s.rubrics[name] = sync.OnceValues(func() (*Published, error) { return s.compile(name, data) })
			return
		}
		s.policies[name] = sync.OnceValues(func() (*workload.Policy, error) {
			p, problems := workload.Parse(name+".yaml", data)
			if p == nil {
				return nil, fmt.Errorf("policy %s: %s", name, problems[0].Summary())
			}
			return p, nil
		})
	})
}

func eachYAML(folder fs.FS, use func(dir, name string, data []byte)) error {
	for _, dir := range []string{".", "workload"} {
		files, err := fs.Glob(folder, path.Join(dir, "*.yaml"))
		if err != nil {
			return err
		}
		for _, file := range files {
			data, err := fs.ReadFile(folder, file)
			if err != nil {
				return err
			}
			use(dir, strings.TrimSuffix(path.Base(file), ".yaml"), data)
		}
	}
	return nil
}

// check reads every file of a folder and gives all problems.
func (s *Shelf) check(folder fs.FS) (problems []place.Problem) {
	err := eachYAML(folder, func(dir, name string, data []byte) {
		if dir == "." {
			r, _, more := engine.CheckRubric(name+".yaml", data, s.source)
			problems = append(problems, more...)
			if r != nil && r.Name != name {
				problems = append(problems, place.Problem{Code: "file-name", File: name + ".yaml", Line: 1, Column: 1, Found: "the rubric " + r.Name + " in the file " + name + ".yaml", Wanted: "a file named after its rubric", Hint: "call it " + r.Name + ".yaml"})
			}
			return
		}
		_, more := workload.Parse(dir+"/"+name+".yaml", data)
		problems = append(problems, more...)
	})
	if err != nil {
		problems = append(problems, place.Problem{Code: "no-file", Found: err.Error(), Wanted: "a folder that can be read"})
	}
	return problems
}

func (s *Shelf) source(name string) ([]byte, bool) {
	b, ok := s.sources[name]
	return b, ok
}

func (s *Shelf) compile(name string, data []byte) (*Published, error) {
	r, problems := rubric.Parse(name+".yaml", data, s.source)
	if r == nil {
		return nil, fmt.Errorf("rubric %s: %s", name, problems[0].Summary())
	}
	return &Published{Rubric: r, Version: 1, Source: data, Warnings: problems}, nil
}

// Names lists the rubrics in order.
func (s *Shelf) Names(context.Context) ([]string, error) {
	return slices.Sorted(maps.Keys(s.rubrics)), nil
}

// Rubric finds a rubric by name; nil if there is none.
func (s *Shelf) Rubric(_ context.Context, name string) (*Published, error) {
	if compile, ok := s.rubrics[name]; ok {
		return compile()
	}
	return nil, nil
}

// PolicyNames lists the workload policies in order.
func (s *Shelf) PolicyNames() []string { return slices.Sorted(maps.Keys(s.policies)) }

// Policy finds a workload policy by name; nil if there is none.
func (s *Shelf) Policy(name string) (*workload.Policy, error) {
	if parse, ok := s.policies[name]; ok {
		return parse()
	}
	return nil, nil
}

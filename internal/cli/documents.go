package cli

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"

	"github.com/go-json-experiment/json/jsontext"
)

// maxDocument bounds one observation document.
const maxDocument = 1 << 20

// A document is one JSON document of an input; Line is 0 where the input holds
// just this one.
type document struct {
	file    string
	line    int
	data    []byte
	tooLong bool
}

// openInput opens a file, or standard input for "-".
func openInput(name string, s *streams) (io.ReadCloser, error) {
	if name == "-" {
		return io.NopCloser(s.In), nil
	}
	if err := noFolder(name); err != nil {
		return nil, err
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, cannotRun("%v", err)
	}
	return f, nil
}

// noFolder refuses a folder where a file is wanted.
func noFolder(name string) error {
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		return badUsage("%s is a folder; wanted a file, such as one of %s", name, filepath.Join(name, "*"))
	}
	return nil
}

// readInput reads a whole file, or standard input for "-".
func readInput(name string, s *streams) ([]byte, error) {
	in, err := openInput(name, s)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	b, err := io.ReadAll(in)
	if err != nil {
		return nil, cannotRun("%s: %v", name, err)
	}
	return b, nil
}

// eachDocument calls use for each document of an input: for the one document
// it holds, however laid out, or for each line of NDJSON as it is read. Blank
// lines are passed over.
func eachDocument(name string, in io.Reader, use func(document) error) error {
	r := bufio.NewReaderSize(in, 64<<10)
	first, line, err := nextLine(r, 0)
	if errors.Is(err, io.EOF) {
		return use(document{file: name})
	}
	if err != nil {
		return cannotRun("%s: %v", name, err)
	}
	second, secondLine, err := nextLine(r, line)
	one := jsontext.Value(first.data).IsValid() || first.tooLong
	switch {
	case errors.Is(err, io.EOF):
		return use(document{name, 0, first.data, first.tooLong})
	case err != nil:
		return cannotRun("%s: %v", name, err)
	case one || bytes.HasPrefix(bytes.TrimSpace(second.data), []byte("{")):
		return eachLine(name, r, []numbered{{first, line}, {second, secondLine}}, use)
	}
	return wholeDocument(name, r, line, first, secondLine, second, use)
}

// A rawLine is one line without its end.
type rawLine struct {
	data    []byte
	tooLong bool
}

type numbered struct {
	rawLine
	line int
}

// nextLine reads the next line that is not blank. A line longer than a document
// may be is cut and marked.
func nextLine(r *bufio.Reader, line int) (rawLine, int, error) {
	for {
		var out rawLine
		part, more, err := r.ReadLine()
		if err != nil {
			return out, line, err
		}
		line++
		out.data = append(out.data, part...)
		for more {
			if part, more, err = r.ReadLine(); err != nil {
				break
			}
			if len(out.data)+len(part) > maxDocument {
				out.tooLong = true
				continue
			}
			out.data = append(out.data, part...)
		}
		if len(bytes.TrimSpace(out.data)) > 0 {
			return out, line, nil
		}
	}
}

func eachLine(name string, r *bufio.Reader, read []numbered, use func(document) error) error {
	for _, l := range read {
		if err := use(document{name, l.line, l.data, l.tooLong}); err != nil {
			return err
		}
	}
	for line := read[len(read)-1].line; ; {
		l, at, err := nextLine(r, line)
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return cannotRun("%s: %v", name, err)
		}
		line = at
		if err := use(document{name, at, l.data, l.tooLong}); err != nil {
			return err
		}
	}
}

// wholeDocument puts the first lines before the rest, blank lines between them
// too, so that places in messages are those of the file.
func wholeDocument(name string, r *bufio.Reader, line int, first rawLine, secondLine int, second rawLine, use func(document) error) error {
	data := bytes.Repeat([]byte("\n"), line-1)
	data = append(append(data, first.data...), bytes.Repeat([]byte("\n"), secondLine-line)...)
	data = append(append(data, second.data...), '\n')
	rest, err := io.ReadAll(io.LimitReader(r, maxDocument))
	if err != nil {
		return cannotRun("%s: %v", name, err)
	}
	data = append(data, rest...)
	return use(document{name, 0, data, len(data) > maxDocument})
}

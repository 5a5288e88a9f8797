package cli

import (
	"fmt"
	"io/fs"
	"os"
)

// largestFile bounds a file of a folder of rubrics, in bytes: well above what a
// rubric may have, so that a longer one is told as such.
const largestFile = 1 << 20

// A folder is one of rubrics. What stands in it is read through it alone: a link
// that leads out of it, a pipe, a device and a file without end are refused, so
// that nobody who may write a rubric reads another file of the server's or
// holds it up.
type folder struct {
	fs.FS
	root *os.Root
}

func openFolder(dir string) (folder, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return folder{}, err
	}
	return folder{root.FS(), root}, nil
}

// Close implements io.Closer.
func (f folder) Close() error { return f.root.Close() }

// ReadFile implements fs.ReadFileFS.
func (f folder) ReadFile(name string) ([]byte, error) {
	info, err := f.root.Stat(name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s: found no plain file, wanted one", name)
	}
	if info.Size() > largestFile {
		return nil, fmt.Errorf("%s: found %d bytes, wanted at most %d", name, info.Size(), largestFile)
	}
	return f.root.ReadFile(name)
}

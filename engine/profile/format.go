package profile

import (
	"bytes"
	"io/fs"
	"path"

	"github.com/open-policy-agent/opa/v1/format"
)

// Unformatted lists the Rego files that are not written as the policy engine's
// formatter writes them, and how many files were looked at.
func Unformatted(fsys fs.FS) (files []string, seen int, err error) {
	err = fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || path.Ext(name) != ".rego" {
			return err
		}
		seen++
		src, err := fs.ReadFile(fsys, name)
		if err != nil {
			return err
		}
		want, err := format.Source(name, src)
		if err != nil {
			return err
		}
		if !bytes.Equal(src, want) {
			files = append(files, name)
		}
		return nil
	})
	return files, seen, err
}

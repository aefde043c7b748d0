package profile

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"

	"fallrule/engine/finding"
)

// Checksum of all files of a profile, so that a sheet says what it was judged
// by: the SHA-256 over each path and content in the order of the paths.
func Checksum(fsys fs.FS, id string) (string, error) {
	sum := sha256.New()
	err := fs.WalkDir(fsys, id, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := fs.ReadFile(fsys, path)
		if err != nil {
			return err
		}
		fmt.Fprintf(sum, "%s %d\n", path, len(b))
		sum.Write(b)
		return nil
	})
	if err != nil {
		return "", fmt.Errorf("sum up profile %s: %w", id, err)
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// CountByBasis tells how many of a profile's limits are confirmed how far.
func (s *Set) CountByBasis(id string) map[finding.Basis]int {
	out := map[finding.Basis]int{}
	for _, l := range s.Limits(id) {
		out[l.Row.Basis]++
	}
	return out
}

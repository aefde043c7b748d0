package profile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
)

// Folders is a file system of profiles: those that come with the tool, and
// folders from elsewhere mounted beside them under their own names.
type Folders struct {
	base    fs.FS
	mounted map[string]fs.FS
}

// NewFolders begins with the profiles of one file system.
func NewFolders(base fs.FS) Folders { return Folders{base: base, mounted: map[string]fs.FS{}} }

// Mount adds a folder that holds one profile and gives the profile's id, which
// is the folder's name. A name that is taken already is refused: a folder may
// not stand in for a profile that comes with the tool.
func (f Folders) Mount(dir string) (Folders, string, error) {
	full, err := filepath.Abs(dir)
	if err != nil {
		return f, "", fmt.Errorf("find profile folder %s: %w", dir, err)
	}
	id := filepath.Base(full)
	if _, err := fs.Stat(f.base, id); err == nil {
		return f, "", fmt.Errorf("profile folder %s: %q is the name of a profile that comes with the tool", dir, id)
	}
	info, err := os.Stat(full)
	if err != nil || !info.IsDir() {
		return f, "", fmt.Errorf("profile %s: neither the id of a profile nor a folder", dir)
	}
	out := Folders{f.base, map[string]fs.FS{id: os.DirFS(full)}}
	for other, fsys := range f.mounted {
		out.mounted[other] = fsys
	}
	return out, id, nil
}

// Open implements fs.FS.
func (f Folders) Open(name string) (fs.File, error) {
	first, rest, _ := strings.Cut(name, "/")
	fsys, mounted := f.mounted[first]
	if !mounted {
		return f.base.Open(name)
	}
	if rest == "" {
		rest = "."
	}
	return fsys.Open(rest)
}

// Proven tells whether a profile is one of the base file system, which the
// tool's tests hold.
func (f Folders) Proven(id string) bool { _, mounted := f.mounted[id]; return !mounted }

// IDs lists the profiles.
func (f Folders) IDs() ([]string, error) {
	entries, err := fs.ReadDir(f.base, ".")
	if err != nil {
		return nil, fmt.Errorf("list the profiles: %w", err)
	}
	var out []string
	for _, e := range entries {
		if e.IsDir() && e.Name() != lib {
			out = append(out, e.Name())
		}
	}
	for id := range f.mounted {
		out = append(out, id)
	}
	slices.Sort(out)
	return out, nil
}

// Heads reads what is needed to choose among profiles, without their rules:
// only title, region, countries and edition are filled.
func (f Folders) Heads() (map[string]Header, error) {
	ids, err := f.IDs()
	if err != nil {
		return nil, err
	}
	out := map[string]Header{}
	var faults []error
	for _, id := range ids {
		h, err := f.head(id)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		out[id] = h
	}
	return out, errors.Join(faults...)
}

func (f Folders) head(id string) (Header, error) {
	b, err := fs.ReadFile(f, id+"/profile.yaml")
	if err != nil {
		return Header{}, fmt.Errorf("read the head of profile %s: %w", id, err)
	}
	var file struct {
		Header struct {
			Title     string   `yaml:"title"`
			Region    string   `yaml:"region"`
			Edition   string   `yaml:"edition"`
			Countries []string `yaml:"countries"`
		} `yaml:"header"`
	}
	if err := yaml.Unmarshal(b, &file); err != nil {
		return Header{}, fmt.Errorf("read the head of profile %s: %w", id, err)
	}
	h := file.Header
	return Header{Title: h.Title, Region: h.Region, Edition: h.Edition, Countries: h.Countries}, nil
}

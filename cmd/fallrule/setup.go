package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fallrule/engine"
	"fallrule/engine/document"
	"fallrule/engine/layout"
	"fallrule/engine/measure"
	"fallrule/engine/profile"
	"fallrule/engine/validate"
	"fallrule/profiles"
	"fallrule/schema"
)

// flags that more than one command has.
type flags struct {
	profiles []string
	beside   []string
	plugins  string
}

func (f *flags) bind(c *cobra.Command) {
	c.Flags().StringArrayVarP(&f.profiles, "profile", "p", nil, "profile that binds, by id or folder; may be repeated (default: the house's country)")
	c.Flags().StringArrayVar(&f.beside, "beside", nil, "profile to compare; never decides the exit code; may be repeated")
	c.Flags().StringVar(&f.plugins, "plugins", "", "file that names further measurement plugins")
	for _, name := range []string{"profile", "beside"} {
		_ = c.RegisterFlagCompletionFunc(name, completeProfiles)
	}
	_ = c.MarkFlagFilename("plugins", "yaml")
}

func completeProfiles(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	heads, err := profile.NewFolders(profiles.FS).Heads()
	if err != nil {
		return nil, cobra.ShellCompDirectiveError
	}
	var out []string
	for id, h := range heads {
		out = append(out, id+"\t"+h.Title)
	}
	return out, cobra.ShellCompDirectiveNoFileComp
}

func completeLayouts(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"yaml", "yml", "json"}, cobra.ShellCompDirectiveFilterFileExt
}

// opened is a layout with the engine that its profiles call for.
type opened struct {
	engine   *engine.Engine
	layout   *layout.Layout
	warnings []document.Fault
}

// workshop opens layouts, one or many, and keeps what they share: a set of
// profiles is loaded once for all layouts that call for it.
type workshop struct {
	flags         flags
	fsys          profile.Folders
	heads         map[string]profile.Header
	named, beside []string
	engines       map[string]*engine.Engine // by their roles
	choose        func(*layout.Layout) ([]engine.Role, error)
}

func newWorkshop(f flags) (*workshop, error) {
	fsys, named, err := mount(profile.NewFolders(profiles.FS), f.profiles)
	if err != nil {
		return nil, err
	}
	fsys, beside, err := mount(fsys, f.beside)
	if err != nil {
		return nil, err
	}
	heads, err := fsys.Heads()
	if err != nil {
		return nil, err
	}
	w := &workshop{flags: f, fsys: fsys, heads: heads, named: named, beside: beside, engines: map[string]*engine.Engine{}}
	w.choose = func(lay *layout.Layout) ([]engine.Role, error) { return engine.Choose(lay, heads, named, beside) }
	return w, nil
}

// open reads one layout.
func open(c *cobra.Command, path string, f flags) (*opened, error) {
	w, err := newWorkshop(f)
	if err != nil {
		return nil, err
	}
	return w.open(c, path)
}

// open reads a layout whole before any plugin starts: a plugin must not be
// able to read what is piped in.
func (w *workshop) open(c *cobra.Command, path string) (*opened, error) {
	lay, warnings, err := readLayout(c, path)
	if err != nil {
		return nil, err
	}
	roles, err := w.choose(lay)
	if err != nil {
		return nil, err
	}
	e, err := w.engine(c.Context(), roles)
	if err != nil {
		return nil, err
	}
	return &opened{e, lay, warnings}, nil
}

func (w *workshop) engine(ctx context.Context, roles []engine.Role) (*engine.Engine, error) {
	key := fmt.Sprint(roles)
	if e := w.engines[key]; e != nil {
		return e, nil
	}
	cat, err := schema.Quantities()
	if err != nil {
		return nil, err
	}
	var ids []string
	for i, r := range roles {
		ids = append(ids, r.Profile)
		if roles[i].SHA256, err = profile.Checksum(w.fsys, r.Profile); err != nil {
			return nil, err
		}
	}
	set, err := profile.Load(ctx, w.fsys, ids, cat)
	if err != nil {
		return nil, err
	}
	sources, err := measureSources(w.flags.plugins)
	if err != nil {
		return nil, err
	}
	e := &engine.Engine{Version: version, Profiles: set, Roles: roles, Sources: sources}
	w.engines[key] = e
	return e, nil
}

// mount turns ids and folders into ids: what is a folder's path is mounted.
func mount(fsys profile.Folders, named []string) (profile.Folders, []string, error) {
	known, err := fsys.IDs()
	if err != nil {
		return fsys, nil, err
	}
	var ids []string
	for _, name := range named {
		if !slices.Contains(known, name) {
			if !strings.ContainsAny(name, `/\`) && !exists(name) {
				return fsys, nil, fmt.Errorf("there is no profile %q; there are %s, or name a folder", name, strings.Join(known, ", "))
			}
			if fsys, name, err = fsys.Mount(name); err != nil {
				return fsys, nil, err
			}
		}
		ids = append(ids, name)
	}
	return fsys, ids, nil
}

func exists(path string) bool { _, err := os.Stat(path); return err == nil }

// readLayout reads and validates; faults go to the error stream, a line each.
func readLayout(c *cobra.Command, path string) (*layout.Layout, []document.Fault, error) {
	src, name, err := readFile(c.InOrStdin(), path)
	if err != nil {
		return nil, nil, err
	}
	v, err := validate.New("layout.schema.json", schema.Layout)
	if err != nil {
		return nil, nil, err
	}
	lay, faults := engine.Read(v, name, src)
	if lay != nil {
		return lay, faults, nil
	}
	for _, fault := range faults {
		fmt.Fprintln(c.ErrOrStderr(), fault)
	}
	return nil, nil, fmt.Errorf("%s could not be read (faults: %d); nothing was judged", name, len(faults))
}

func readFile(in io.Reader, path string) ([]byte, string, error) {
	if path == "-" {
		src, err := io.ReadAll(io.LimitReader(in, document.MaxBytes+1))
		return src, "standard input", err
	}
	src, err := os.ReadFile(path)
	return src, filepath.ToSlash(path), err
}

// measureSources is the bundled plugins in one process of this tool, and what
// the file names beside them.
func measureSources(file string) ([]measure.Source, error) {
	sources := []measure.Source{measure.Bundled()}
	if file == "" {
		return sources, nil
	}
	more, err := measure.ReadConfig(file)
	if err != nil {
		return nil, err
	}
	return append(sources, more...), nil
}

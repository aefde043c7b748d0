package profile

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"

	"github.com/open-policy-agent/opa/v1/ast"
	"github.com/open-policy-agent/opa/v1/util"
)

// source is the files of one Load, read and not yet understood.
type source struct {
	fsys    fs.FS
	modules map[string]*ast.Module // by path, without tests
	tests   map[string]*ast.Module
	raw     map[string][]byte    // of all files
	docs    map[string]*document // of the YAML files
	data    map[string]any       // what the policy engine sees as `data`
	faults  Faults
}

const lib = "lib"

func newSource(fsys fs.FS) *source {
	return &source{
		fsys: fsys, modules: map[string]*ast.Module{}, tests: map[string]*ast.Module{},
		raw: map[string][]byte{}, docs: map[string]*document{}, data: map[string]any{},
	}
}

func (s *source) fault(file string, line int, text string) {
	s.faults = append(s.faults, Fault{file, line, text})
}

// read takes in all files below a folder. Only what stock OPA would read the
// same way is allowed: .yaml and .rego; readme files are passed over.
func (s *source) read(dir string) {
	err := fs.WalkDir(s.fsys, dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		switch ext := path.Ext(name); ext {
		case ".rego", ".yaml":
			src, err := fs.ReadFile(s.fsys, name)
			if err != nil {
				return err
			}
			s.raw[name] = src
			if ext == ".rego" {
				s.module(name, src)
			} else {
				s.document(name, src)
			}
		case ".json", ".yml":
			s.fault(name, 0, "write it as a .yaml file")
		}
		return nil
	})
	if errors.Is(err, fs.ErrNotExist) {
		s.fault(dir, 0, "there is no such profile")
	} else if err != nil {
		s.fault(dir, 0, "read the profile: "+err.Error())
	}
}

func (s *source) module(name string, src []byte) {
	m, err := ast.ParseModuleWithOpts(name, string(src), ast.ParserOptions{
		ProcessAnnotation: true, RegoVersion: ast.RegoV1, Capabilities: capabilities(),
	})
	if err != nil {
		s.regoFaults(err)
		return
	}
	if strings.HasSuffix(name, "_test.rego") {
		s.tests[name] = m
	} else {
		s.modules[name] = m
	}
}

// regoFaults turns the policy engine's errors into faults.
func (s *source) regoFaults(err error) {
	var errs ast.Errors
	if !errors.As(err, &errs) {
		s.fault(lib, 0, err.Error())
		return
	}
	for _, e := range errs {
		f := Fault{File: lib, Text: e.Message}
		if e.Location != nil {
			f.File, f.Line = e.Location.File, e.Location.Row
		}
		if e.Details != nil {
			f.Text += "; " + strings.Join(e.Details.Lines(), "; ")
		}
		s.faults = append(s.faults, f)
	}
}

// prover is a file system that knows which of its profiles come with the tool.
// The tool's own tests have judged their examples and read them as stock OPA
// does; doing so again would double the time of a check.
type prover interface{ Proven(id string) bool }

func (s *source) proven(name string) bool {
	id, _, _ := strings.Cut(name, "/")
	p, knows := s.fsys.(prover)
	return knows && p.Proven(id)
}

// withoutExamples cuts the examples out of a rule's file. They are a key of
// the first level, so they end where the next line does not begin with a blank
// or a dash.
func withoutExamples(src []byte) []byte {
	begin := bytes.Index(src, []byte("\nexamples:"))
	if begin < 0 {
		return src
	}
	end := begin + 1
	for end < len(src) {
		next := bytes.IndexByte(src[end:], '\n')
		if next < 0 {
			return src[:begin+1]
		}
		end += next + 1
		if end < len(src) && !bytes.ContainsRune([]byte(" -#\n"), rune(src[end])) {
			break
		}
	}
	return slices.Concat(src[:begin+1], src[end:])
}

func (s *source) document(name string, src []byte) {
	before := len(s.faults)
	proven := s.proven(name)
	if proven {
		src = withoutExamples(src)
	}
	d := readDocument(name, 0, src, &s.faults)
	d.proven = proven
	s.docs[name] = d
	if len(s.faults) > before {
		return // the engine's own reader need not see it
	}
	if !strings.HasPrefix(string(src), "# ") {
		s.fault(name, 1, "the first line must be a comment with document and clause")
	}
	at := s.data
	for _, step := range append([]string{"profiles"}, strings.Split(path.Dir(name), "/")...) {
		next, ok := at[step].(map[string]any)
		if !ok {
			next = map[string]any{}
			at[step] = next
		}
		at = next
	}
	content, _ := d.value.(map[string]any)
	if !proven {
		content = s.stock(d, src)
	}
	for key, v := range content {
		if _, twice := at[key]; twice {
			d.fault(d.line([]any{key}), "the key %q stands in another file of the folder too", key)
		}
		at[key] = v
	}
}

// stock reads a YAML file as the policy engine does on its own, so that rules
// get the same data here and there; its reader is older and takes less.
func (s *source) stock(d *document, src []byte) map[string]any {
	var content map[string]any
	if err := util.Unmarshal(src, &content); err != nil {
		d.fault(0, "stock OPA cannot read the file: %s", err)
		return nil
	}
	ours, err := json.Marshal(d.value)
	theirs, err2 := json.Marshal(content)
	if err != nil || err2 != nil || !bytes.Equal(ours, theirs) {
		d.fault(0, "stock OPA reads something else in the file: quote texts and numbers")
	}
	return content
}

// folders lists the rules of a profile.
func (s *source) folders(id string) []string {
	items, err := fs.ReadDir(s.fsys, path.Join(id, "rules"))
	if err != nil {
		return nil
	}
	var out []string
	for _, item := range items {
		if item.IsDir() {
			out = append(out, item.Name())
		} else {
			s.fault(path.Join(id, "rules", item.Name()), 0, "a rule is a folder")
		}
	}
	slices.Sort(out)
	return out
}

package measure

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const module, here = "fallrule", "fallrule/engine/measure"

// source is one Go file of this module.
type source struct {
	file    string
	pkg     string // import path of its folder
	imports []string
	starts  bool // declares main of a program, or TestMain
	asks    bool // calls sdk.IsChild
}

// A program or test that reaches this package can start itself as the bundled
// plugin. Its main, or TestMain, must then look whether it is the child; one
// that does not would start no plugin (sdk.Self refuses), and all its measures
// would be faults.
func TestWhoeverStartsItselfAsksWhetherItIsTheChild(t *testing.T) {
	files := goFiles(t, filepath.Join("..", ".."))
	reach := reaching(files)
	found := 0
	for _, f := range files {
		if !f.starts || !reach[f.pkg] && !uses(f, reach) {
			continue
		}
		found++
		if !f.asks {
			t.Errorf("%s: its main or TestMain does not ask sdk.IsChild", f.file)
		}
	}
	if found == 0 {
		t.Error("not even this package's own TestMain was found")
	}
}

func uses(f source, reach map[string]bool) bool {
	for _, i := range f.imports {
		if reach[i] {
			return true
		}
	}
	return false
}

// reaching lists the packages that import this one, at any distance. Tests do
// not count: nobody imports them.
func reaching(files []source) map[string]bool {
	reach := map[string]bool{here: true}
	for grew := true; grew; {
		grew = false
		for _, f := range files {
			if !strings.HasSuffix(f.file, "_test.go") && !reach[f.pkg] && uses(f, reach) {
				reach[f.pkg], grew = true, true
			}
		}
	}
	return reach
}

func goFiles(t *testing.T, root string) []source {
	t.Helper()
	var files []source
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(name) != ".go" {
			return err
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			return nil // the compiler's business
		}
		rel, err := filepath.Rel(root, filepath.Dir(name))
		if err != nil {
			return err
		}
		f := source{file: name, pkg: path.Join(module, filepath.ToSlash(rel))}
		for _, i := range parsed.Imports {
			if p, err := strconv.Unquote(i.Path.Value); err == nil {
				f.imports = append(f.imports, p)
			}
		}
		ast.Inspect(parsed, func(n ast.Node) bool { f.look(n, parsed.Name.Name); return true })
		files = append(files, f)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func (f *source) look(n ast.Node, pkg string) {
	switch n := n.(type) {
	case *ast.FuncDecl:
		if name := n.Name.Name; n.Recv == nil && (name == "TestMain" || name == "main" && pkg == "main") {
			f.starts = true
		}
	case *ast.SelectorExpr:
		if x, ok := n.X.(*ast.Ident); ok && x.Name == "sdk" && n.Sel.Name == "IsChild" {
			f.asks = true
		}
	}
}

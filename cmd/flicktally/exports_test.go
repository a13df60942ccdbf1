package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// mostUnusedExports is how many exported names may be used by no other package.
// It only ever goes down: a name that is exported for nobody is a promise that
// nobody asked for.
const mostUnusedExports = 60

// TestExportsAreUsed counts the exported names of packages that no other package
// uses, tests of other packages included.
func TestExportsAreUsed(t *testing.T) {
	declared, used := map[string]bool{}, map[string]bool{}
	files := token.NewFileSet()
	for _, room := range []string{"sim", "plot", "trainer", "cmd"} {
		require.NoError(t, filepath.WalkDir("../../"+room, func(file string, _ fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(file, ".go") {
				return err
			}
			code, err := parser.ParseFile(files, file, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			folder := filepath.ToSlash(filepath.Dir(strings.TrimPrefix(file, "../../")))
			if code.Name.Name != "main" && !strings.HasSuffix(file, "_test.go") {
				for _, name := range exportsOf(code) {
					declared[folder+"."+name] = true
				}
			}
			for _, name := range usesOf(code) {
				if !strings.HasPrefix(name, folder+".") {
					used[name] = true
				}
			}
			return nil
		}))
	}
	var unused []string
	for name := range declared {
		if !used[name] {
			unused = append(unused, name)
		}
	}
	slices.Sort(unused)
	require.Greater(t, len(declared), 500, "they are found")
	require.LessOrEqual(t, len(unused), mostUnusedExports, "of %d exported names no other package uses:\n%s", len(declared), strings.Join(unused, "\n"))
}

// exportsOf returns the exported names that a file declares at its top.
func exportsOf(code *ast.File) []string {
	var names []string
	add := func(ids ...*ast.Ident) {
		for _, id := range ids {
			if id.IsExported() {
				names = append(names, id.Name)
			}
		}
	}
	for _, decl := range code.Decls {
		switch decl := decl.(type) {
		case *ast.FuncDecl:
			if decl.Recv == nil {
				add(decl.Name)
			}
		case *ast.GenDecl:
			for _, spec := range decl.Specs {
				switch spec := spec.(type) {
				case *ast.TypeSpec:
					add(spec.Name)
				case *ast.ValueSpec:
					add(spec.Names...)
				}
			}
		}
	}
	return names
}

// usesOf returns the names of other packages of the project that a file uses,
// such as sim/stat.Rate.
func usesOf(code *ast.File) []string {
	packages := map[string]string{} // by the name that the file has for them
	for _, spec := range code.Imports {
		imported := strings.Trim(spec.Path.Value, `"`)
		own, ok := strings.CutPrefix(imported, "flicktally/")
		if !ok {
			continue
		}
		name := path.Base(own)
		if spec.Name != nil {
			name = spec.Name.Name
		}
		packages[name] = own
	}
	var names []string
	ast.Inspect(code, func(n ast.Node) bool {
		if selector, ok := n.(*ast.SelectorExpr); ok {
			if id, ok := selector.X.(*ast.Ident); ok && packages[id.Name] != "" {
				names = append(names, packages[id.Name]+"."+selector.Sel.Name)
			}
		}
		return true
	})
	return names
}

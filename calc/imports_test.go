package calc_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "recirc"

// area is a part of the module with the import rules that hold in it, its
// subfolders included. Imports run one way: cmd, api, service, calc.
type area struct {
	path string

	// ours lists what of this module may be imported, beside the area itself; a
	// path that ends in /... stands for its subfolders too.
	ours []string
	why  string // the reason why nothing else of ours may

	forbidden []ban
	libraries bool   // packages of other modules may be imported
	whyNone   string // the reason why they may not

	tests bool // the rules hold for tests too
}

// ban is an import, subfolders included, that an area must do without.
type ban struct{ path, why string }

const (
	gin    = "github.com/gin-gonic/gin"
	logger = "github.com/rs/zerolog"
)

func areas() []area {
	return []area{
		{
			path: "cmd", ours: []string{"api", "api/designfile", "service", "openapi"}, libraries: true,
			why:       "the binary reads flags and wires; a decision about numbers here would be in no answer of the service",
			forbidden: []ban{{gin, "routes are the business of api, so that tests can serve them without the binary"}},
		},
		{
			path: "api", libraries: true,
			ours: []string{
				"service", "openapi", "calc/fault", "calc/quantity", "calc/network", "calc/pipe", "calc/rule",
				"calc/arrival", "calc/source", "calc/fixture", "calc/hydraulic", "calc/pump", "calc/control", "calc/calendar", "calc/draw",
			},
			why: "api translates between the wire and values; what it computes itself has no working, no source and no second user",
		},
		{
			path: "service", ours: []string{"calc/..."},
			why:     "service knows nothing of HTTP: it must answer the same when a program calls it directly",
			whyNone: "service composes calc; whatever needs a library beside that is transport or logging, and belongs in api or cmd",
			forbidden: []ban{
				{"net", "a calculation that waits for a network is not stateless"},
				{"encoding/json", "wire names and number formats are the contract's, and api translates them"},
				{"log", "calc and service do not log; api logs the request once"},
				{"os", "files and environment are read by cmd and given as values"},
			},
		},
		{
			path: "calc", ours: []string{"calc/..."},
			why:     "calc is the lowest room; what it imports of ours would depend on itself",
			whyNone: "the core must be readable and provable with the standard library alone",
			forbidden: []ban{
				{"net", "a formula that waits for a network gives no answer without one"},
				{"os", "tables are embedded; a file or a variable of the machine must not change a number"},
				{"log", "a formula returns what is to be said, and its caller says it"},
				{"math/rand", "the same request gives the same bytes"},
				{"time", "a clock makes yesterday's answer differ from today's; a span of time is a quantity.Duration"},
			},
		},
		{path: "openapi", libraries: true, why: "the contract is the source of truth; it follows from no code of ours"},
		{
			path: "e2e", libraries: true, tests: true,
			why: "it sees what a client sees; with our types it would pass where a client fails",
		},
	}
}

// levels places every package of calc, those of the plan included, so that a
// new one has its place before its first import. calc itself has no code.
func levels() map[string]int {
	const ground, terms, properties, processes, joins = -1, 0, 1, 2, 3
	return map[string]int{
		// Below the terms too, since the registry of sources is a table itself.
		"calc/internal/table": ground, "calc/internal/solve": ground, "calc/internal/sparse": ground,

		"calc/fault": terms, "calc/quantity": terms, "calc/source": terms, "calc/calendar": terms,

		"calc/pipe": properties, "calc/fixture": properties, "calc/water": properties, "calc/air": properties, "calc/mains": properties,
		"calc/hydraulic": properties, // below heat, which shares its friction factor

		"calc/arrival": processes, "calc/heat": processes, "calc/pump": processes,
		"calc/control": processes, "calc/draw": processes, "calc/economics": processes,

		"calc/network": joins, "calc/loop": joins, "calc/rule": joins, "calc/year": joins, "calc/takeoff": joins,
	}
}

// catchAlls are names under which anything can be put, so nothing is found.
var catchAlls = []string{"utils", "helpers", "common", "managers", "models"}

// goPackage is what the rules need to know of a package.
type goPackage struct {
	path, name  string // path from the root of the module, "." for the root
	imports     []string
	testImports []string
	comments    []string // files with a package comment, tests left out
}

// TestImportRules holds the import rules for every package of the module.
func TestImportRules(t *testing.T) {
	all := readModule(t)
	if len(all) < 10 {
		t.Fatalf("only %d packages found; the walk has not seen the module", len(all))
	}
	for _, p := range all {
		for _, b := range breaches(p) {
			t.Errorf("%s: %s", p.path, b)
		}
	}
}

// TestImportRulesBite breaks each rule in an invented package, because a rule
// that misses its case stays silent for ever.
func TestImportRulesBite(t *testing.T) {
	cases := []struct {
		path    string
		imports []string
		want    string // part of the breach, "" for none
	}{
		{"cmd/recirc", []string{"os", "net/http", logger, "recirc/api", "recirc/service", "recirc/openapi"}, ""},
		{"cmd/recirc", []string{"recirc/calc/pipe"}, "decision about numbers"},
		{"cmd/recirc", []string{gin}, "business of api"},
		{"api/body", []string{"time", "net/http", gin, logger, "recirc/api", "recirc/calc/quantity", "recirc/service"}, ""},
		{"api", []string{"recirc/calc/heat"}, "api translates"},
		{"api", []string{"recirc/cmd/recirc"}, "api translates"},
		{"service", []string{"fmt", "embed", "recirc/calc/pipe", "recirc/calc/network"}, ""},
		{"service", []string{"recirc/api"}, "nothing of HTTP"},
		{"service", []string{"recirc/openapi"}, "nothing of HTTP"},
		{"service", []string{gin}, "composes calc"},
		{"service", []string{logger}, "composes calc"},
		{"service", []string{"net/http"}, "not stateless"},
		{"service", []string{"encoding/json"}, "number formats"},
		{"service", []string{"log/slog"}, "do not log"},
		{"service", []string{"os"}, "given as values"},
		{"calc/pipe", []string{"math", "embed", "recirc/calc/quantity", "recirc/calc/internal/table"}, ""},
		{"calc/pipe", []string{"recirc/service"}, "lowest room"},
		{"calc/pipe", []string{"gonum.org/v1/gonum/mat"}, "standard library alone"},
		{"calc/pipe", []string{"net/netip"}, "waits for a network"},
		{"calc/pipe", []string{"os"}, "embedded"},
		{"calc/pipe", []string{"log"}, "caller says it"},
		{"calc/pipe", []string{"math/rand/v2"}, "the same bytes"},
		{"calc/pipe", []string{"time"}, "clock"},
		{"calc/pipe", []string{"recirc/calc/fixture"}, "lower levels"},
		{"calc/rule", []string{"recirc/calc/network"}, "lower levels"},
		{"calc/quantity", []string{"recirc/calc/pipe"}, "lower levels"},
		{"calc/source", []string{"recirc/calc/fault"}, "lower levels"},
		{"calc/network", []string{"recirc/calc/unheard"}, "lower levels"},
		{"calc/unheard", nil, "no level"},
		{"openapi", []string{"embed", "recirc/calc/fault"}, "source of truth"},
		{"e2e", []string{"recirc/api"}, "what a client sees"},
		{"web", nil, "no area"},
		{"apiary", nil, "no area"},
		{".", nil, "no area"},
		{"api/helpers", nil, "anything can be put"},
		{"service/models/pipe", nil, "anything can be put"},
	}
	for _, c := range cases {
		got := breaches(goPackage{path: c.path, name: filepath.Base(c.path), imports: c.imports, comments: []string{"doc.go"}})
		switch {
		case c.want == "" && len(got) > 0:
			t.Errorf("%s importing %v: %q, want nothing", c.path, c.imports, got)
		case c.want != "" && (len(got) != 1 || !strings.Contains(got[0], c.want)):
			t.Errorf("%s importing %v: %q, want one breach about %q", c.path, c.imports, got, c.want)
		}
	}
	for _, comments := range [][]string{nil, {"a.go", "b.go"}} {
		if got := breaches(goPackage{path: "service", name: "service", comments: comments}); len(got) != 1 {
			t.Errorf("package comments in %v: %q, want one breach", comments, got)
		}
	}
	if got := breaches(goPackage{path: "service", name: "utils", comments: []string{"doc.go"}}); len(got) != 1 {
		t.Errorf("package utils: %q, want one breach", got)
	}
	tested := func(path string) []string {
		return breaches(goPackage{path: path, name: path, comments: []string{"doc.go"}, testImports: []string{"recirc/api", "os"}})
	}
	if got := tested("e2e"); len(got) != 1 {
		t.Errorf("a test of e2e that imports api: %q, want one breach", got)
	}
	if got := tested("service"); len(got) != 0 {
		t.Errorf("a test of service may import what it likes: %q", got)
	}
}

// breaches tells every rule that a package breaks.
func breaches(p goPackage) []string {
	told := nameBreaches(p)
	if len(p.comments) != 1 {
		told = append(told, fmt.Sprintf("has %d package comments %v; one place says what a package is for", len(p.comments), p.comments))
	}
	a, ok := areaOf(p.path)
	if !ok {
		return append(told, "has no area in this test; say what it may import")
	}
	imports := p.imports
	if a.tests {
		imports = slices.Concat(imports, p.testImports)
	}
	for _, path := range imports {
		if why := a.refuses(path); why != "" {
			told = append(told, fmt.Sprintf("imports %s: %s", path, why))
		}
	}
	if a.path == "calc" {
		told = append(told, levelBreaches(p)...)
	}
	return told
}

func nameBreaches(p goPackage) []string {
	for _, word := range append(strings.Split(p.path, "/"), p.name) {
		if slices.Contains(catchAlls, word) {
			return []string{fmt.Sprintf("is called %s, under which anything can be put; name the subject", word)}
		}
	}
	return nil
}

func areaOf(path string) (area, bool) {
	for _, a := range areas() {
		if within(path, a.path) {
			return a, true
		}
	}
	return area{}, false
}

// within reports that a path is a folder or lies somewhere in it.
func within(path, folder string) bool {
	return path == folder || strings.HasPrefix(path, folder+"/")
}

// refuses gives the reason why an area does without an import, "" if it does not.
func (a area) refuses(path string) string {
	for _, b := range a.forbidden {
		if within(path, b.path) {
			return b.why
		}
	}
	if within(path, module) {
		if a.mayImport(strings.TrimPrefix(path, module+"/")) {
			return ""
		}
		return a.why
	}
	if first, _, _ := strings.Cut(path, "/"); strings.Contains(first, ".") && !a.libraries {
		return a.whyNone
	}
	return ""
}

func (a area) mayImport(path string) bool {
	for _, allowed := range append(a.ours, a.path+"/...") {
		folder, deep := strings.CutSuffix(allowed, "/...")
		if path == folder || deep && within(path, folder) {
			return true
		}
	}
	return false
}

// levelBreaches tells where a package of calc reaches up or sideways.
func levelBreaches(p goPackage) []string {
	level, placed := levels()[p.path]
	switch {
	case p.path == "calc":
		level = -2 // below all: it imports none
	case !placed:
		return []string{"has no level in this test; place it before it grows imports"}
	}
	var told []string
	for _, path := range p.imports {
		below, ok := strings.CutPrefix(path, module+"/")
		if !ok || !within(below, "calc") {
			continue
		}
		if of, known := levels()[below]; !known || of >= level {
			told = append(told, fmt.Sprintf("imports %s: a package of calc imports only lower levels, so that each can be read and tested without those beside it", path))
		}
	}
	return told
}

// readModule reads every package below the root of the module, files for other
// systems included. It walks the folders itself rather than ask go list: go test
// sees which folders a test reads, so a new one makes a cached pass void.
func readModule(t *testing.T) []goPackage {
	t.Helper()
	const root = ".."
	if _, err := os.Stat(filepath.Join(root, "go.mod")); err != nil {
		t.Fatal(err)
	}
	var all []goPackage
	err := filepath.WalkDir(root, func(folder string, entry fs.DirEntry, err error) error {
		if err != nil || !entry.IsDir() {
			return err
		}
		if folder != root && skipped(entry.Name()) {
			return fs.SkipDir
		}
		files, err := filepath.Glob(filepath.Join(folder, "*.go"))
		if err == nil && len(files) > 0 {
			all = append(all, readPackage(t, filepath.ToSlash(strings.TrimPrefix(folder, root+string(filepath.Separator))), files))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// skipped reports that the go command passes over a folder of this name.
func skipped(name string) bool {
	return name == "testdata" || name == "vendor" || strings.HasPrefix(name, ".") || strings.HasPrefix(name, "_")
}

func readPackage(t *testing.T, path string, files []string) goPackage {
	t.Helper()
	p := goPackage{path: path}
	for _, name := range files {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly|parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(name, "_test.go") {
			p.testImports = append(p.testImports, importsOf(t, file)...)
			continue
		}
		p.name = file.Name.Name
		p.imports = append(p.imports, importsOf(t, file)...)
		if file.Doc.Text() != "" { // directives such as go:build are no text
			p.comments = append(p.comments, filepath.Base(name))
		}
	}
	for _, imports := range []*[]string{&p.imports, &p.testImports} {
		slices.Sort(*imports)
		*imports = slices.Compact(*imports)
	}
	return p
}

func importsOf(t *testing.T, file *ast.File) []string {
	t.Helper()
	var paths []string
	for _, i := range file.Imports {
		path, err := strconv.Unquote(i.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	return paths
}

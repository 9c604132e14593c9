// Package house holds the rules of the house as tests: which way arrows may
// point, what the engine may touch, and that the register of sources is true.
package house

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// order is the pipeline. A package may import packages of an earlier line, and
// of its own line only where that line says so.
var order = []struct {
	together bool
	packages []string
}{
	{true, []string{"engine/length", "engine/quantity", "engine/money", "engine/finding", "engine/geom", "engine/loads/cite"}},
	{false, []string{"engine/customary"}},
	{false, []string{"engine/catalogue", "engine/job"}},
	{false, []string{"engine/fileform"}},
	{false, []string{"engine/builtin"}},
	{false, []string{"engine/survey", "engine/heat"}},
	{false, []string{"engine/measure"}},
	{false, []string{"engine/roof"}},
	{false, []string{"engine/setout"}},
	{false, []string{"engine/asbuilt", "engine/triage"}},
	{true, []string{"engine/loads/wind", "engine/loads/snow", "engine/loads/combine"}},
	{false, []string{"engine/loads"}},
	{true, []string{"engine/checks", "engine/checks/timber", "engine/checks/fastener", "engine/checks/frame", "engine/checks/plate", "engine/checks/water"}},
	{false, []string{"engine/checks/chain"}},
	{false, []string{"engine/takeoff"}},
	{true, []string{"engine/cutting", "engine/cutverify"}},
	{false, []string{"engine/saw"}},
	{false, []string{"engine/depot"}},
	{false, []string{"engine/price"}},
	{false, []string{"engine/sequence"}},
	{false, []string{"engine/plan"}},
	{true, []string{"drawing/"}},
	{true, []string{"papers"}},
	{false, []string{"exports"}},
	{false, []string{"examples", "web", "store"}},
	{false, []string{"httpapi"}},
	{true, []string{"cmd/", "internal/"}},
}

// place finds the line of a package: its own, or that of the folder above it.
func place(pkg string) int {
	best, length := -1, -1
	for i, line := range order {
		for _, p := range line.packages {
			folder := strings.TrimSuffix(p, "/")
			if (pkg == folder || strings.HasPrefix(pkg, folder+"/")) && len(folder) > length {
				best, length = i, len(folder)
			}
		}
	}
	return best
}

type listed struct {
	ImportPath string
	Imports    []string
}

func packages(t *testing.T) []listed {
	t.Helper()
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports", "seamwright/...")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var all []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
}

// An arrow that points back would let a stage depend on its own result.
func TestArrowsPointForward(t *testing.T) {
	for _, p := range packages(t) {
		name := strings.TrimPrefix(p.ImportPath, "seamwright/")
		at := place(name)
		if at < 0 {
			t.Errorf("%s has no place in the pipeline: add it to the order", name)
			continue
		}
		for _, imp := range p.Imports {
			dep, ours := strings.CutPrefix(imp, "seamwright/")
			if !ours {
				continue
			}
			switch to := place(dep); {
			case to > at:
				t.Errorf("%s imports %s, which stands after it", name, dep)
			case to == at && !order[at].together && dep != name && !strings.HasPrefix(dep, name+"/") && !strings.HasPrefix(name, dep+"/"):
				t.Errorf("%s imports %s, which stands beside it", name, dep)
			}
		}
	}
}

// The engine runs in a page as it runs in a shell: no files, clock, network,
// chance or printing. Package builtin may embed its data.
func TestEngineIsPure(t *testing.T) {
	forbidden := regexp.MustCompile(`^(os|os/.*|io/fs|io/ioutil|net|net/.*|time|log|log/.*|math/rand|math/rand/v2|crypto/rand|syscall|sync|sync/.*|database/.*|runtime/.*|unsafe|C|path/filepath)$`)
	for _, p := range packages(t) {
		name := strings.TrimPrefix(p.ImportPath, "seamwright/")
		if !strings.HasPrefix(name, "engine/") && !strings.HasPrefix(name, "drawing/") && name != "papers" && name != "exports" {
			continue
		}
		for _, imp := range p.Imports {
			if forbidden.MatchString(imp) && !allowed[name+" "+imp] {
				t.Errorf("%s imports %s", name, imp)
			}
		}
	}
}

// allowed are the exceptions, each with its reason.
var allowed = map[string]bool{
	"drawing/pdf time":    true, // the date printed into a PDF is passed in as time.Time; no clock is read
	"papers time":         true, // the same
	"drawing/fonts sync":  true, // embedded fonts are parsed once
	"drawing/sheets time": true,
	"exports time":        true,
}

// No goroutine outlives a call into the engine, because none is started.
func TestEngineStartsNoGoroutine(t *testing.T) {
	start := regexp.MustCompile(`(?m)^\s*go (func|[a-zA-Z_.]+\()`)
	for _, dir := range []string{"engine", "drawing", "papers"} {
		_ = filepath.WalkDir(filepath.Join("..", "..", dir), func(path string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			b, err := os.ReadFile(path)
			if err == nil && start.Match(b) {
				t.Errorf("%s starts a goroutine", path)
			}
			return err
		})
	}
}

// The engine and the papers are built for WebAssembly, where the app runs them.
func TestEngineBuildsForWebAssembly(t *testing.T) {
	cmd := exec.Command("go", "build", "seamwright/engine/...", "seamwright/drawing/...", "seamwright/papers")
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}

// A row of the register that names a test which does not exist claims a check
// that nobody makes.
func TestStandardsRegister(t *testing.T) {
	b, err := os.ReadFile(filepath.Join("..", "..", "docs", "standards.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	tests := testNames(t)
	standing := map[string]bool{"read": true, "memory": true, "computed": true, "practice": true, "disputed": true, "judgment": true, "given": true}
	for i, line := range strings.Split(strings.TrimSpace(string(b)), "\n") {
		f := strings.Split(line, "\t")
		if i == 0 {
			continue
		}
		if len(f) != 5 {
			t.Errorf("line %d has %d columns, want 5: %s", i+1, len(f), line)
			continue
		}
		if !standing[f[2]] {
			t.Errorf("line %d: standing %q is none of ours", i+1, f[2])
		}
		for _, name := range strings.FieldsFunc(f[4], func(r rune) bool { return r == ' ' || r == ',' || r == ';' || r == '/' }) {
			if !tests[name] {
				t.Errorf("line %d names the test %q, which does not exist", i+1, name)
			}
		}
	}
}

func testNames(t *testing.T) map[string]bool {
	names := map[string]bool{}
	fn := regexp.MustCompile(`(?m)^func ((?:Test|Fuzz|Example|Benchmark)\w*)\(`)
	err := filepath.WalkDir(filepath.Join("..", ".."), func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		b, err := os.ReadFile(path)
		for _, m := range fn.FindAllSubmatch(b, -1) {
			names[string(m[1])] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

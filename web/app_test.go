package web

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strings"
	"testing"
)

// run runs a program of the front end in this folder.
func run(t *testing.T, name string, args ...string) {
	t.Helper()
	cmd := exec.Command(name, args...)
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
}

// need skips on a machine that was never set up, and fails where tests count.
func need(t *testing.T, programs ...string) {
	t.Helper()
	if testing.Short() {
		t.Skip("-short")
	}
	for _, p := range programs {
		if _, err := exec.LookPath(p); err != nil {
			if os.Getenv("CI") != "" {
				t.Fatalf("%s is missing: sh scripts/setup.sh installs it", p)
			}
			t.Skipf("%s is missing: sh scripts/setup.sh installs it", p)
		}
	}
}

// packages installs what package-lock.json names, once.
func packages(t *testing.T) {
	t.Helper()
	lock, err := os.ReadFile("package-lock.json")
	if err != nil {
		t.Fatal(err)
	}
	stamp := filepath.Join("node_modules", ".seamwright-lock")
	if have, err := os.ReadFile(stamp); err == nil && bytes.Equal(have, lock) {
		return
	}
	run(t, "npm", "ci", "--no-audit", "--no-fund")
	if err := os.WriteFile(stamp, lock, 0o644); err != nil {
		t.Fatal(err)
	}
}

// The program would serve an app that nobody can rebuild or review.
func TestDistIsWhatTheSourcesBuild(t *testing.T) {
	need(t, "node", "npm")
	packages(t)
	run(t, "npx", "--no-install", "svelte-check", "--tsconfig", "./tsconfig.json", "--threshold", "error")
	out := t.TempDir()
	run(t, "npx", "--no-install", "vite", "build", "--outDir", out)
	want, have := tree(t, out), tree(t, "dist")
	for _, name := range names(want, have) {
		if !bytes.Equal(want[name], have[name]) {
			t.Errorf("dist/%s is not what the sources build: npx vite build, in web/", name)
		}
	}
}

// The app is used in a real browser, from an empty page to papers.
func TestAppInABrowser(t *testing.T) {
	chromium := os.Getenv("CHROMIUM")
	if chromium == "" {
		chromium = "chromium"
	}
	need(t, "node", "npm", chromium)
	packages(t)
	path, err := exec.LookPath(chromium)
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("CHROMIUM", path)
	run(t, "sh", "engine.sh")
	run(t, "node", "--test", "--test-concurrency=1", "e2e/app.test.mjs", "e2e/server.test.mjs", "e2e/view3d.test.mjs")
}

// tree reads the built app, without what is not kept in the repository.
func tree(t *testing.T, root string) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		if d.IsDir() {
			if rel == "engine" {
				return filepath.SkipDir
			}
			return nil
		}
		if d.Name() == ".gitkeep" {
			return nil
		}
		b, err := os.ReadFile(path)
		out[filepath.ToSlash(rel)] = b
		return err
	})
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	return out
}

func names(maps ...map[string][]byte) []string {
	seen := map[string]bool{}
	var out []string
	for _, m := range maps {
		for n := range m {
			if !seen[n] {
				seen[n] = true
				out = append(out, n)
			}
		}
	}
	sort.Strings(out)
	return out
}

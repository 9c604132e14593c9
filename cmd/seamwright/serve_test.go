package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// serving starts the real program on a free port and returns its address.
func serving(t *testing.T, args ...string) (string, *exec.Cmd) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Args = append([]string{"seamwright", "serve", "--addr", "127.0.0.1:0"}, args...) // TestMain runs the command of this name
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var said bytes.Buffer
	cmd.Stderr = &said
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
	line, err := bufio.NewReader(out).ReadString('\n')
	url, found := strings.CutPrefix(strings.TrimSpace(line), "Seamwright is at ")
	if !found {
		t.Fatalf("%q %v\n%s", line, err, said.String())
	}
	return strings.TrimSuffix(url, "/"), cmd
}

// The same file through the command line and the served program: the same plan.
func TestServeAndCommandLineAgree(t *testing.T) {
	url, cmd := serving(t, "--data", t.TempDir())
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			var out, said bytes.Buffer
			if code := run([]string{"plan", "--json", f}, streams{&out, &said}); code == 1 {
				t.Fatal(said.String())
			}
			text, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			res, err := http.Post(url+"/api/plan?file="+filepath.Base(f), "application/yaml", bytes.NewReader(text))
			if err != nil {
				t.Fatal(err)
			}
			defer res.Body.Close()
			var got struct{ Plan json.RawMessage }
			if err := json.NewDecoder(res.Body).Decode(&got); err != nil {
				t.Fatal(err)
			}
			var want bytes.Buffer
			if err := json.Compact(&want, out.Bytes()); err != nil {
				t.Fatal(err)
			}
			if string(got.Plan) != want.String() {
				t.Errorf("the plans differ (%d and %d bytes)", len(got.Plan), want.Len())
			}
		})
	}
	// Ctrl-C ends it in order.
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() { done <- cmd.Wait() }()
	select {
	case err := <-done:
		if err != nil {
			t.Errorf("it ended with %v", err)
		}
	case <-time.After(15 * time.Second):
		t.Error("it did not end")
	}
}

// A port or folder that is taken is named; a backup can be taken meanwhile;
// the jobs outlive a kill.
func TestServeTwice(t *testing.T) {
	dir := t.TempDir()
	url, cmd := serving(t, "--data", dir)
	var out, said bytes.Buffer
	if code := run([]string{"serve", "--addr", "127.0.0.1:0", "--data", dir}, streams{&out, &said}); code != 1 || !strings.Contains(said.String(), "another seamwright has the data folder") {
		t.Errorf("%d %s", code, said.String())
	}
	said.Reset()
	if code := run([]string{"serve", "--addr", strings.TrimPrefix(url, "http://"), "--data", t.TempDir()}, streams{&out, &said}); code != 1 || !strings.Contains(said.String(), "another program listens on") || !strings.Contains(said.String(), "--addr 127.0.0.1:0") {
		t.Errorf("%d %s", code, said.String())
	}
	said.Reset()
	backup := filepath.Join(t.TempDir(), "friday.db")
	if code := run([]string{"backup", backup, "--data", dir}, streams{&out, &said}); code != 0 {
		t.Errorf("%d %s", code, said.String())
	}
	res, err := http.Post(url+"/api/jobs", "application/json", strings.NewReader(`{"id":"kept-after-kill","doc":{"name":"kept"}}`))
	if err != nil || res.StatusCode != http.StatusCreated {
		t.Fatal(res, err)
	}
	res.Body.Close()
	if err := cmd.Process.Signal(syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
	cmd.Wait()
	again, _ := serving(t, "--data", dir)
	if res, err = http.Get(again + "/api/jobs/kept-after-kill"); err != nil || res.StatusCode != http.StatusOK {
		t.Error(res, err)
	}
	b, _ := io.ReadAll(res.Body)
	res.Body.Close()
	if !bytes.Contains(b, []byte(`"name":"kept"`)) {
		t.Errorf("%s", b)
	}
}

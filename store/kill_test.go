package store

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"
)

const killDir = "SEAMWRIGHT_TEST_KILL_DIR"

func sum(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:8])
}

// TestKilledChild is the process that TestNothingAcknowledgedIsLost kills: four
// writers that store as fast as they can and print what was acknowledged.
func TestKilledChild(t *testing.T) {
	dir := os.Getenv(killDir)
	if dir == "" {
		t.Skip("only runs as a child of TestNothingAcknowledgedIsLost")
	}
	s, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	acknowledge := func(words ...any) { os.Stdout.WriteString(fmt.Sprintln(words...)) } // one write, so lines stay whole
	acknowledge("open")
	var wg sync.WaitGroup
	for w := range 4 {
		wg.Go(func() { writeForever(t, s, w, acknowledge) })
	}
	wg.Wait()
}

func writeForever(t *testing.T, s *Store, w int, acknowledge func(...any)) {
	ctx := context.Background()
	fill := strings.Repeat("23 5/8 in, ", 300) // about the size of a job
	out, err := s.Create(ctx, "", Change{Doc: doc(fmt.Sprint("writer ", w))}, false)
	if err != nil {
		t.Error(err)
		return
	}
	id := out.Job.ID
	acknowledge("version", id, 1, sum(out.Version.Doc))
	head := 1
	for i := 0; ; i++ {
		d := doc(fmt.Sprint("writer ", w, " change ", i), fmt.Sprintf(`"notes":%q`, fill[rand.IntN(len(fill)):]))
		out, err := s.Save(ctx, id, Change{Expected: head, Doc: d})
		if err != nil {
			t.Error(err)
			return
		}
		head = out.Job.Head
		acknowledge("version", id, head, sum(out.Version.Doc))
		tick := Tick{ID: newID(), Step: fmt.Sprint("step ", i), Done: true, Version: 1, At: time.Now(), Value: json.RawMessage(`{"read":1}`)}
		if _, err := s.AddTicks(ctx, id, []Tick{tick}, "phone"); err != nil {
			t.Error(err)
			return
		}
		acknowledge("tick", id, tick.ID, "-")
		if i%5 == 0 {
			photo := append(png[:len(png):len(png)], fmt.Sprint(w, i, fill)...)
			p, err := s.AddPhoto(ctx, id, Photo{}, photo)
			if err != nil {
				t.Error(err)
				return
			}
			acknowledge("photo", id, p.ID, sum(photo))
		}
	}
}

// A phone told "kept" relies on it. The writing process is killed 200 times at
// random moments; after every kill the store opens, is sound, and holds all
// that had been acknowledged, to the byte.
func TestNothingAcknowledgedIsLost(t *testing.T) {
	kills := 200
	if testing.Short() {
		kills = 20
	}
	dir := t.TempDir()
	total := 0
	for i := range kills {
		acks := runAndKill(t, dir)
		total += len(acks)
		s, err := Open(dir)
		if err != nil {
			t.Fatalf("kill %d: %v", i, err)
		}
		for _, a := range acks {
			checkKept(t, s, a)
		}
		if i%20 == 0 || i == kills-1 {
			if err := whole(context.Background(), s.write); err != nil {
				t.Errorf("kill %d: %v", i, err)
			}
		}
		checkHeads(t, s)
		s.Close()
		if t.Failed() {
			t.FailNow()
		}
	}
	t.Logf("%d kills, %d acknowledged writes, all kept", kills, total)
	if total < kills {
		t.Errorf("only %d writes were acknowledged in %d runs: the test shows nothing", total, kills)
	}
}

// runAndKill lets the child write for a random while and returns what it
// acknowledged.
func runAndKill(t *testing.T, dir string) (acks []string) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^TestKilledChild$")
	cmd.Env = append(os.Environ(), killDir+"="+dir)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewReader(out)
	if first, err := lines.ReadString('\n'); first != "open\n" {
		rest, _ := io.ReadAll(lines)
		t.Fatalf("the child did not open the store: %q %v\n%s", first, err, rest)
	}
	timer := time.AfterFunc(time.Duration(1+rand.IntN(60))*time.Millisecond, func() { cmd.Process.Kill() })
	defer timer.Stop()
	for {
		line, err := lines.ReadString('\n')
		if err != nil {
			break // what follows the last line end was not acknowledged whole
		}
		acks = append(acks, strings.TrimSpace(line))
	}
	if err := cmd.Wait(); err == nil || cmd.ProcessState.ExitCode() != -1 {
		t.Fatalf("the child ended by itself: %v, %q", err, acks)
	}
	return acks
}

func checkKept(t *testing.T, s *Store, ack string) {
	t.Helper()
	ctx := context.Background()
	var kind, job, which, hash string
	if n, err := fmt.Sscan(ack, &kind, &job, &which, &hash); n != 4 {
		t.Fatalf("%q: %v", ack, err)
	}
	switch kind {
	case "version":
		var n int
		fmt.Sscan(which, &n)
		if v, err := s.Version(ctx, job, n); err != nil || sum(v.Doc) != hash {
			t.Errorf("%s: lost, %v", ack, err)
		}
	case "tick":
		b, err := s.Build(ctx, job)
		found := false
		for _, x := range b.Ticks {
			found = found || x.ID == which
		}
		if !found {
			t.Errorf("%s: lost, %v", ack, err)
		}
	case "photo":
		if _, b, err := s.PhotoBytes(ctx, job, which); err != nil || sum(b) != hash {
			t.Errorf("%s: lost, %v", ack, err)
		}
	default:
		t.Errorf("the child said %q", ack)
	}
}

// checkHeads finds jobs whose head is not their newest version, which nobody
// set aside here: half of a change.
func checkHeads(t *testing.T, s *Store) {
	t.Helper()
	var half int
	err := s.read.QueryRow(`SELECT count(*) FROM jobs WHERE head != (SELECT max(n) FROM versions WHERE job = id)`).Scan(&half)
	if err != nil || half != 0 {
		t.Errorf("%d jobs hold half a change, %v", half, err)
	}
}

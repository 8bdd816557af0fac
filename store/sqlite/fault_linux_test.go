package sqlite_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"soundmetal/store"
	"soundmetal/store/sqlite"
	"soundmetal/store/storetest"
)

// Faults are provoked in a child process: this test program, started again with
// childEnv set to the file of the book.
const (
	childEnv = "SOUNDMETAL_TEST_BOOK"  // file of the book
	limitEnv = "SOUNDMETAL_TEST_LIMIT" // largest file in bytes, as a full disk
	killsEnv = "SOUNDMETAL_KILLS"      // how often TestKilled kills; see docs/reliability.md
)

func TestMain(m *testing.M) {
	if path := os.Getenv(childEnv); path != "" {
		child(path)
		return
	}
	os.Exit(m.Run())
}

// child writes batches as fast as it can, from two sides at once, and says each
// key that was acknowledged. The number of entries stands at the key's end.
func child(path string) {
	limited := os.Getenv(limitEnv) != ""
	if limited {
		n, _ := strconv.ParseUint(os.Getenv(limitEnv), 10, 64)
		signal.Ignore(syscall.SIGXFSZ) // a write beyond the limit gives an error, as on a full disk
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: n, Max: n}); err != nil {
			fmt.Println("error", err)
			return
		}
	}
	ctx := context.Background()
	s, err := sqlite.Open(ctx, path)
	if err != nil {
		fmt.Println("error", err)
		return
	}
	fmt.Println("open")
	done := make(chan string)
	run := strconv.FormatInt(time.Now().UnixNano(), 36)
	for side := range 2 {
		go func() {
			for i := 0; ; i++ {
				n := 1 + i%4
				b := storetest.Batch("phone", fmt.Sprintf("%s-%d-%d-%d", run, side, i, n), fmt.Sprintf("j%d", i%3), n)
				if i%5 == 0 {
					data := make([]byte, 20_000)
					for k := range data {
						data[k] = byte(i + side*7 + k)
					}
					b.Blobs = [][]byte{data}
				}
				if i%40 == 7 {
					if err := s.PutSnapshot(ctx, store.Snapshot{Name: "book", Vector: store.Vector{"phone": int64(i)}, Data: []byte(b.Key)}); err != nil {
						fmt.Println("refused snapshot", err)
					}
				}
				if _, err := s.Append(ctx, b); err != nil {
					fmt.Println("refused", b.Key, err)
					if limited {
						done <- b.Key
						return
					}
					continue
				}
				fmt.Println("saved", b.Key)
			}
		}()
	}
	if limited {
		<-done
		if _, err := s.Heads(ctx); err != nil {
			fmt.Println("error", "reading:", err)
		}
		fmt.Println("end")
		os.Exit(0)
	}
	select {}
}

// start starts the child.
func start(t *testing.T, path string, env ...string) (*exec.Cmd, io.Reader) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(self)
	c.Env = append(append(os.Environ(), childEnv+"="+path), env...)
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	return c, out
}

// said reads the child's whole lines: what was acknowledged and what was refused.
func said(t *testing.T, out io.Reader) (saved, refused []string) {
	r := bufio.NewReader(out)
	for {
		line, err := r.ReadString('\n')
		if err != nil {
			return saved, refused // half a line was not yet said
		}
		switch word, rest, _ := strings.Cut(strings.TrimSpace(line), " "); word {
		case "saved":
			saved = append(saved, rest)
		case "refused":
			refused = append(refused, rest)
		case "error":
			t.Error("child:", rest)
		}
	}
}

// holds says whether every acknowledged batch is there, whole.
func holds(t *testing.T, s *sqlite.Store, saved []string) {
	t.Helper()
	for _, key := range saved {
		found, err := s.Find(t.Context(), key)
		if err != nil {
			t.Fatal(err)
		}
		if want := key[strings.LastIndex(key, "-")+1:]; strconv.Itoa(len(found)) != want {
			t.Errorf("batch %s was acknowledged and has %d entries", key, len(found))
		}
	}
}

// whole says that no batch is stored in part.
func whole(t *testing.T, s store.Store) (entries int) {
	t.Helper()
	count := map[string]int{}
	for e, err := range s.Load(t.Context(), store.Query{}) {
		if err != nil {
			t.Error(err)
		}
		count[e.Key]++
		entries++
	}
	for key, n := range count {
		if key[strings.LastIndex(key, "-")+1:] != strconv.Itoa(n) {
			t.Errorf("batch %s is stored in part: %d entries", key, n)
		}
	}
	return entries
}

func verify(t *testing.T, s store.Store) {
	t.Helper()
	r, err := s.Verify(t.Context())
	if err != nil || !r.OK() {
		t.Errorf("%v, %v", r, err)
	}
}

// TestKilled kills the child at a random moment of its life, from before it has
// opened the book to the middle of its writing, again and again on the same book.
func TestKilled(t *testing.T) {
	kills := 20
	if n, err := strconv.Atoi(os.Getenv(killsEnv)); err == nil {
		kills = n
	}
	const perBook = 25
	var path string
	var saved []string
	total, early, stored := 0, 0, 0
	finish := func() {
		if path == "" {
			return
		}
		s := open(t, path)
		holds(t, s, saved)
		stored += whole(t, s)
		verify(t, s)
		s.Close()
		total += len(saved)
		saved = nil
	}
	began := time.Now()
	for i := range kills {
		if i%perBook == 0 {
			finish()
			path = filepath.Join(t.TempDir(), "book.db")
		}
		c, out := start(t, path)
		time.AfterFunc(time.Duration(rand.Float64()*rand.Float64()*float64(250*time.Millisecond)), func() { c.Process.Kill() })
		more, refused := said(t, out)
		c.Wait()
		if len(refused) > 0 {
			t.Fatal(refused)
		}
		if len(more) == 0 {
			early++
		}
		saved = append(saved, more...)
		s := open(t, path)
		holds(t, s, more)
		verify(t, s)
		s.Close()
		if t.Failed() {
			t.Fatalf("after kill %d", i+1)
		}
	}
	finish()
	t.Logf("%d kills in %.0f s, %d of them before the first acknowledgement; %d batches acknowledged, 0 lost; %d entries stored, every chain holds",
		kills, time.Since(began).Seconds(), early, total, stored)
}

// TestFullDisk lets the disk run full and asks that nothing acknowledged is lost,
// nothing refused is stored, and that it goes on when there is room again.
func TestFullDisk(t *testing.T) {
	for name, prepare := range map[string]func(t *testing.T) (dir string, env []string, room func()){
		"largest file size": func(t *testing.T) (string, []string, func()) {
			return t.TempDir(), []string{limitEnv + "=600000"}, func() {}
		},
		"small disk": func(t *testing.T) (string, []string, func()) {
			dir := t.TempDir()
			if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=1500k"); err != nil {
				t.Skip("this user may not mount a small disk: ", err)
			}
			t.Cleanup(func() { syscall.Unmount(dir, 0) })
			return dir, []string{limitEnv + "=1000000000"}, func() {
				if err := syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT, "size=20m"); err != nil {
					t.Fatal(err)
				}
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir, env, room := prepare(t)
			path := filepath.Join(dir, "book.db")
			c, out := start(t, path, env...)
			saved, refused := said(t, out)
			if err := c.Wait(); err != nil {
				t.Fatal(err)
			}
			if len(saved) == 0 || len(refused) == 0 {
				t.Fatalf("%d saved, %d refused: the disk never ran full", len(saved), len(refused))
			}
			for _, r := range refused {
				if !strings.Contains(r, "not saved") {
					t.Errorf("the refusal does not say that it is not saved: %s", r)
				}
			}
			room()
			s := open(t, path)
			holds(t, s, saved)
			whole(t, s)
			verify(t, s)
			for _, r := range refused {
				key, _, _ := strings.Cut(r, " ")
				if key == "snapshot" {
					continue
				}
				found, err := s.Find(t.Context(), key)
				if err != nil {
					t.Fatal(err)
				}
				n, _ := strconv.Atoi(key[strings.LastIndex(key, "-")+1:])
				if len(found) != 0 {
					t.Errorf("batch %s was refused and is stored", key)
				}
				if out, err := s.Append(t.Context(), storetest.Batch("phone", key, "j1", n)); err != nil || out.Again {
					t.Errorf("with room again: %v", err)
				}
			}
			verify(t, s)
			t.Logf("%d batches acknowledged, 0 lost; %d refused, 0 stored: %s", len(saved), len(refused), refused[0])
		})
	}
}

// TestCorruptedTail cuts and garbles the write-ahead log that a killed program
// left behind. What is left must be a beginning of what was stored, batch by
// batch, with its chain whole, or the damage must be said.
func TestCorruptedTail(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "book.db")
	c, out := start(t, path)
	time.AfterFunc(300*time.Millisecond, func() { c.Process.Kill() })
	said(t, out)
	c.Wait()
	db, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	wal, err := os.ReadFile(path + "-wal")
	if err != nil || len(wal) < 50_000 {
		t.Skipf("no write-ahead log was left: %d bytes, %v", len(wal), err)
	}
	full := open(t, path)
	var want []store.Entry
	for e, err := range full.Load(t.Context(), store.Query{}) {
		if err != nil {
			t.Fatal(err)
		}
		want = append(want, e)
	}
	full.Close()
	stored := map[store.Hash]bool{}
	for _, e := range want {
		stored[e.Hash] = true
	}
	random := rand.New(rand.NewPCG(1, 2))
	cut, said := 0, 0
	for i := range 60 {
		tail := append([]byte(nil), wal...)
		at := random.IntN(len(tail))
		switch i % 3 {
		case 0:
			tail = tail[:at]
		case 1:
			tail[at] ^= byte(1 + random.IntN(255))
		case 2:
			for k := at; k < min(at+4096, len(tail)); k++ {
				tail[k] = 0
			}
		}
		copyPath := filepath.Join(dir, fmt.Sprintf("copy%d.db", i))
		if err := errors.Join(os.WriteFile(copyPath, db, 0o600), os.WriteFile(copyPath+"-wal", tail, 0o600)); err != nil {
			t.Fatal(err)
		}
		s, err := sqlite.Open(t.Context(), copyPath)
		if err != nil {
			said++
			continue
		}
		// Where the kill fell into a checkpoint the file holds pages that are newer
		// than what is left of the log: Verify must say so, and what is still read
		// as sound must have been stored.
		if r, err := s.Verify(t.Context()); err != nil || !r.OK() {
			said++
			for e, err := range s.Load(t.Context(), store.Query{}) {
				if err == nil && !stored[e.Sum()] {
					t.Errorf("damaged log %d: entry %d of %s was never stored", i, e.Seq, e.Device)
				}
			}
			s.Close()
			continue
		}
		n := whole(t, s)
		k := 0
		for e, err := range s.Load(t.Context(), store.Query{}) {
			if err != nil || e.Hash != want[k].Hash {
				t.Fatalf("entry %d is not the one that was stored: %v", k+1, err)
			}
			k++
		}
		if n < len(want) {
			cut++
		}
		s.Close()
	}
	t.Logf("60 damaged logs: %d lost their end, %d were reported, none of the others has a hole, a changed entry or half a batch", cut, said)
}

// TestDamagedFile changes single bytes of the file. Where the book still says
// that every hash holds, it must give exactly what was stored.
func TestDamagedFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "book.db")
	s := open(t, path)
	for i := range 60 {
		if _, err := s.Append(t.Context(), storetest.Batch("phone", fmt.Sprintf("k%d", i), "j1", 3)); err != nil {
			t.Fatal(err)
		}
	}
	s.Close()
	good, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	hashes := func(s store.Store) (all []store.Hash, faults int, err error) {
		for e, err := range s.Load(t.Context(), store.Query{}) {
			var f *store.Fault
			switch {
			case errors.As(err, &f):
				faults++
			case err != nil:
				return all, faults, err
			default:
				all = append(all, e.Sum())
			}
		}
		return all, faults, nil
	}
	s = open(t, path)
	want, _, err := hashes(s)
	s.Close()
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(3, 4))
	refused, reported, harmless := 0, 0, 0
	for i := range 200 {
		bad := append([]byte(nil), good...)
		bad[random.IntN(len(bad))] ^= byte(1 + random.IntN(255))
		p := filepath.Join(dir, fmt.Sprintf("bad%d.db", i))
		if err := os.WriteFile(p, bad, 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := sqlite.Open(t.Context(), p)
		if err != nil {
			refused++
			continue
		}
		r, err := s.Verify(t.Context())
		got, faults, loadErr := hashes(s)
		switch {
		case err != nil || !r.OK():
			reported++
		case loadErr != nil || faults > 0 || fmt.Sprint(got) != fmt.Sprint(want):
			t.Errorf("change %d: Verify says that every hash holds, but what is read is not what was stored", i)
		default:
			harmless++
		}
		s.Close()
		os.Remove(p)
	}
	t.Logf("200 files with one byte changed: %d refused, %d reported, %d in unused space", refused, reported, harmless)
}

// TestBackup copies the book while it is written, and reads the copy back.
func TestBackup(t *testing.T) {
	dir := t.TempDir()
	s := open(t, filepath.Join(dir, "book.db"))
	b := storetest.Batch("phone", "first-3", "j1", 3)
	b.Blobs = [][]byte{[]byte("picture")}
	if _, err := s.Append(t.Context(), b); err != nil {
		t.Fatal(err)
	}
	stop, ended := make(chan struct{}), make(chan error, 1)
	go func() {
		for i := 0; ; i++ {
			select {
			case <-stop:
				ended <- nil
				return
			default:
			}
			if _, err := s.Append(context.Background(), storetest.Batch("phone", fmt.Sprintf("x%d-2", i), "j2", 2)); err != nil {
				ended <- err
				return
			}
		}
	}()
	for i := range 5 {
		path := filepath.Join(dir, fmt.Sprintf("backup%d.db", i))
		if err := os.WriteFile(path+".part", []byte("cut off"), 0o600); err != nil { // of a backup that was cut off
			t.Fatal(err)
		}
		if err := s.Backup(t.Context(), path); err != nil {
			t.Fatal(err)
		}
		if err := s.Backup(t.Context(), path); err == nil {
			t.Error("a backup was written over")
		}
		c := open(t, path)
		holds(t, c, []string{"first-3"})
		whole(t, c)
		verify(t, c)
		if _, err := c.Blob(t.Context(), store.HashOf([]byte("picture"))); err != nil {
			t.Error(err)
		}
		c.Close()
		if left, _ := filepath.Glob(path + ".*"); len(left) > 0 {
			t.Errorf("left behind: %v", left)
		}
	}
	close(stop)
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

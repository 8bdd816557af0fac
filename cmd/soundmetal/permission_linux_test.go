package main

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"
)

// A file that may not be read is one sentence and status 2. Root may read all,
// so the thread that opens the file becomes nobody first.
func TestPermissionDenied(t *testing.T) {
	path := filepath.Join(t.TempDir(), "secret.yaml")
	if err := os.WriteFile(path, []byte("part: beam\n"), 0o000); err != nil {
		t.Fatal(err)
	}
	var out, errOut bytes.Buffer
	done := make(chan int)
	go func() {
		if os.Geteuid() == 0 {
			runtime.LockOSThread() // not unlocked: the thread ends with the goroutine
			const nobody = 65534
			if _, _, errno := syscall.RawSyscall(syscall.SYS_SETFSUID, nobody, 0, 0); errno != 0 {
				done <- -1
				return
			}
		}
		done <- run([]string{"plan", path}, &out, &errOut)
	}()
	status := <-done
	if status < 0 {
		t.Skip("the thread may not become nobody")
	}
	if want := path + ": may not be read; check who owns it\n"; status != statusBadInput || errOut.String() != want || out.Len() > 0 {
		t.Errorf("status %d, %q, want %q; printed %q", status, errOut.String(), want, out.String())
	}
}

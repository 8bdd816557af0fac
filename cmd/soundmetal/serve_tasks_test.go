package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"soundmetal/task"
	"soundmetal/web"
)

// heldTasks are tasks whose computing is this test's: each waits for its turn.
func heldTasks(ctx context.Context, run func(context.Context, []byte, func(task.Progress)) ([]byte, error)) *tasks {
	t := newTasks(ctx, slog.New(slog.DiscardHandler))
	t.run = run
	return t
}

func TestTasksOneAfterTheOther(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, stop := context.WithCancel(t.Context())
		defer stop()
		var at, most atomic.Int32
		ts := heldTasks(ctx, func(ctx context.Context, in []byte, tell func(task.Progress)) ([]byte, error) {
			most.Store(max(most.Load(), at.Add(1)))
			defer at.Add(-1)
			tell(task.Progress{Run: "first heat", Part: 2, Of: 7})
			time.Sleep(time.Second)
			return append([]byte("done "), in...), nil
		})
		var kept []string
		keep := func(_ context.Context, r []byte) error { kept = append(kept, string(r)); return nil }
		for _, id := range []string{"a", "b", "a", "c"} { // a second a is the same task
			if err := ts.Start(id, []byte(id), keep); err != nil {
				t.Fatal(err)
			}
		}
		synctest.Wait()
		if s := ts.State("a"); s.Phase != web.TaskRunning || s.Progress.Part != 2 || !s.Busy() {
			t.Errorf("a: %+v", s)
		}
		if s := ts.State("c"); s.Phase != web.TaskWaiting || s.Ahead != 2 {
			t.Errorf("c: %+v", s)
		}
		ts.Cancel("b")
		time.Sleep(3 * time.Second)
		synctest.Wait()
		if got := fmt.Sprint(kept); got != "[done a done c]" || most.Load() != 1 {
			t.Errorf("kept %s with %d at once, want a and c, one at a time", got, most.Load())
		}
		for _, id := range []string{"a", "b", "c"} {
			if s := ts.State(id); s.Phase != web.NoTask {
				t.Errorf("%s is done and still known: %+v", id, s)
			}
		}
	})
}

func TestTasksCancelAndStop(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, stop := context.WithCancel(t.Context())
		ts := heldTasks(ctx, func(ctx context.Context, in []byte, _ func(task.Progress)) ([]byte, error) {
			<-ctx.Done()
			return nil, ctx.Err()
		})
		never := func(context.Context, []byte) error { t.Error("a stopped task was kept"); return nil }
		ts.Start("a", nil, never)
		ts.Start("b", nil, never)
		synctest.Wait()
		ts.Cancel("a")
		synctest.Wait()
		if a, b := ts.State("a"), ts.State("b"); a.Phase != web.NoTask || b.Phase != web.TaskRunning {
			t.Errorf("after the cancel: a %+v, b %+v", a, b)
		}
		ts.Start("c", nil, never)
		stop()
		ts.wait()
		if err := ts.Start("d", nil, never); err == nil {
			t.Error("a task was begun after the end")
		}
		// one that never ends is ended
		ctx2, stop2 := context.WithCancel(t.Context())
		defer stop2()
		ts = heldTasks(ctx2, ts.run)
		ts.Start("a", nil, never)
		time.Sleep(longestTask + time.Second)
		synctest.Wait()
		if s := ts.State("a"); s.Phase != web.TaskFailed || !strings.Contains(s.Err, "longer than") {
			t.Errorf("after its time: %+v", s)
		}
	})
}

func TestTasksFail(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, stop := context.WithCancel(t.Context())
		defer stop()
		ts := heldTasks(ctx, func(_ context.Context, in []byte, _ func(task.Progress)) ([]byte, error) {
			switch string(in) {
			case "panic":
				panic("a fault")
			case "error":
				return nil, errors.New("the grid is too large")
			}
			return in, nil
		})
		ts.Start("p", []byte("panic"), nil)
		ts.Start("e", []byte("error"), nil)
		ts.Start("k", []byte("x"), func(context.Context, []byte) error { return errors.New("the plan has changed") })
		synctest.Wait()
		for id, want := range map[string]string{"p": "fault", "e": "grid", "k": "plan"} {
			if s := ts.State(id); s.Phase != web.TaskFailed || !strings.Contains(s.Err, want) {
				t.Errorf("%s: %+v, want %q", id, s, want)
			}
		}
		ts.Cancel("e")
		if s := ts.State("e"); s.Phase != web.NoTask {
			t.Errorf("forgotten and still known: %+v", s)
		}
		for i := range 100 { // failures do not pile up
			ts.Start(fmt.Sprint(i), []byte("error"), nil)
			synctest.Wait()
		}
		if len(ts.failed) != mostFailed || len(ts.order) != mostFailed {
			t.Errorf("%d failures kept, want %d", len(ts.failed), mostFailed)
		}
	})
}

func TestTasksQueueEnds(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	ts := heldTasks(ctx, func(ctx context.Context, _ []byte, _ func(task.Progress)) ([]byte, error) {
		<-ctx.Done()
		return nil, ctx.Err()
	})
	for i := range mostWaiting + 1 {
		if err := ts.Start(fmt.Sprint(i), nil, nil); err != nil {
			t.Fatal(err)
		}
	}
	if err := ts.Start("one more", nil, nil); !errors.Is(err, web.ErrBusy) {
		t.Errorf("got %v, want that it is busy", err)
	}
	stop()
	ts.wait()
}

// The whole program: a simulation is begun by a form, goes on without anybody
// looking, is kept, and is ended with the program.
func TestServeHeat(t *testing.T) {
	dir := t.TempDir()
	s := serveHere(t, serveCmd{Data: dir, NoLogin: true})
	_, start := s.do("GET", "/", nil)
	at := regexp.MustCompile(`href="(/jobs/[a-z0-9]+)"><strong>Tipper`).FindStringSubmatch(start)
	if at == nil {
		t.Fatal("no demo job")
	}
	_, choose := s.do("GET", at[1]+"/heat", nil)
	item := regexp.MustCompile(`heat\?item=([a-z0-9]+)`).FindAllStringSubmatch(choose, -1)
	if len(item) != 2 {
		t.Fatalf("%d places", len(item))
	}
	page := at[1] + "/heat?item=" + item[1][1]
	begin := func(level string) {
		t.Helper()
		_, form := s.do("GET", page, nil)
		keys := keyField.FindAllStringSubmatch(form, -1)
		v := url.Values{"key": {keys[len(keys)-1][1]}, "item": {item[1][1]}, "level": {level}}
		if a, body := s.do("POST", at[1]+"/heat/start", v); a.StatusCode != 303 {
			t.Fatalf("%d %s", a.StatusCode, body)
		}
	}
	begin("coarse")
	for end := time.Now().Add(2 * time.Minute); ; time.Sleep(200 * time.Millisecond) {
		if _, body := s.do("GET", page, nil); strings.Contains(body, "It is an estimate") {
			break
		} else if !strings.Contains(body, "Working it out") || time.Now().After(end) {
			t.Fatalf("it neither runs nor is done: %s", body)
		}
	}
	begin("working") // minutes: the program is stopped in the middle
	time.Sleep(300 * time.Millisecond)
	if err := s.stop(); err != nil {
		t.Fatal(err)
	}
	s = serveHere(t, serveCmd{Data: dir, NoLogin: true})
	if _, body := s.do("GET", page, nil); !strings.Contains(body, "coarse, for plan 1") || strings.Contains(body, "Working it out") {
		t.Error("what was kept is gone, or what was stopped still runs")
	}
}

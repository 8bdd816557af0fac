package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime/debug"
	"slices"
	"sync"
	"time"

	"soundmetal/task"
	"soundmetal/web"
)

// tasks runs heavy computing for the pages in this process: one at a time, the
// others wait in a queue that has an end. An input has at most task.MaxInput bytes
// and a grid that would be too large is refused by the solver, so that memory is
// bounded too.
type tasks struct {
	log  *slog.Logger
	ctx  context.Context // of the host: its end ends all
	run  func(ctx context.Context, input []byte, progress func(task.Progress)) ([]byte, error)
	done sync.WaitGroup

	mu      sync.Mutex
	queue   []*oneTask // waiting, the first comes next
	running *oneTask
	failed  map[string]string // by id
	order   []string          // of failed
}

type oneTask struct {
	id       string
	input    []byte
	finish   func(context.Context, []byte) error
	ctx      context.Context
	cancel   context.CancelFunc
	progress task.Progress
}

const (
	mostWaiting = 8
	mostFailed  = 32
	longestTask = 30 * time.Minute
)

// newTasks makes an empty queue; it ends with ctx.
func newTasks(ctx context.Context, log *slog.Logger) *tasks {
	return &tasks{log: log, ctx: ctx, run: task.Run, failed: map[string]string{}}
}

// Start queues an input. See web.Tasks.
func (t *tasks) Start(id string, input []byte, finish func(context.Context, []byte) error) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	if err := t.ctx.Err(); err != nil {
		return fmt.Errorf("the program is being stopped: nothing is begun any more")
	}
	if t.running != nil && t.running.id == id && t.running.ctx.Err() == nil || t.waiting(id) >= 0 {
		return nil
	}
	if len(t.queue) >= mostWaiting {
		return web.ErrBusy
	}
	t.forget(id)
	one := &oneTask{id: id, input: input, finish: finish}
	one.ctx, one.cancel = context.WithTimeout(t.ctx, longestTask)
	t.queue = append(t.queue, one)
	if t.running == nil {
		t.next()
	}
	return nil
}

func (t *tasks) waiting(id string) int {
	return slices.IndexFunc(t.queue, func(o *oneTask) bool { return o.id == id })
}

// next begins the first that waits; the lock is held.
func (t *tasks) next() {
	t.running = nil
	if len(t.queue) == 0 || t.ctx.Err() != nil {
		return
	}
	one := t.queue[0]
	t.queue = slices.Delete(t.queue, 0, 1)
	t.running = one
	t.done.Add(1)
	go func() {
		defer t.done.Done()
		err := t.carryOut(one)
		stopped := one.ctx.Err()
		one.cancel()
		t.mu.Lock()
		defer t.mu.Unlock()
		switch {
		case err == nil, errors.Is(stopped, context.Canceled): // kept, or nobody wants it
		case errors.Is(stopped, context.DeadlineExceeded):
			t.fail(one.id, fmt.Sprintf("it took longer than %.0f minutes; take the coarse level", longestTask.Minutes()))
		default:
			t.fail(one.id, err.Error())
		}
		t.next()
	}()
}

// carryOut computes one task and hands its result over. A fault of the program in
// it must not end the book.
func (t *tasks) carryOut(one *oneTask) (err error) {
	defer func() {
		if p := recover(); p != nil {
			t.log.Error("task", "id", one.id, "panic", p, "stack", string(debug.Stack()))
			err = errors.New("the program has a fault here; the log says more")
		}
	}()
	result, err := t.run(one.ctx, one.input, func(p task.Progress) {
		t.mu.Lock()
		one.progress = p
		t.mu.Unlock()
	})
	if err != nil {
		return err
	}
	if err := one.ctx.Err(); err != nil {
		return err
	}
	return one.finish(one.ctx, result)
}

// fail keeps why a task failed; the lock is held.
func (t *tasks) fail(id, text string) {
	t.forget(id)
	t.failed[id] = text
	if t.order = append(t.order, id); len(t.order) > mostFailed {
		delete(t.failed, t.order[0])
		t.order = t.order[1:]
	}
}

func (t *tasks) forget(id string) {
	delete(t.failed, id)
	t.order = slices.DeleteFunc(t.order, func(o string) bool { return o == id })
}

// State is how a task stands. See web.Tasks.
func (t *tasks) State(id string) web.TaskState {
	t.mu.Lock()
	defer t.mu.Unlock()
	if o := t.running; o != nil && o.id == id && o.ctx.Err() == nil {
		return web.TaskState{Phase: web.TaskRunning, Progress: o.progress}
	}
	if i := t.waiting(id); i >= 0 {
		ahead := i
		if t.running != nil {
			ahead++
		}
		return web.TaskState{Phase: web.TaskWaiting, Ahead: ahead}
	}
	if text, ok := t.failed[id]; ok {
		return web.TaskState{Phase: web.TaskFailed, Err: text}
	}
	return web.TaskState{}
}

// Cancel stops a task and forgets it. See web.Tasks.
func (t *tasks) Cancel(id string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.forget(id)
	if i := t.waiting(id); i >= 0 {
		t.queue[i].cancel()
		t.queue = slices.Delete(t.queue, i, i+1)
	}
	if t.running != nil && t.running.id == id {
		t.running.cancel()
	}
}

// wait returns when nothing runs any more; the context has ended before.
func (t *tasks) wait() { t.done.Wait() }

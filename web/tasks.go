package web

import (
	"context"
	"errors"

	"soundmetal/task"
)

// Tasks runs heavy computing in the process of the host. Its methods may be
// called at the same time and return at once.
type Tasks interface {
	// Start queues an input under an id. Where a task of that id waits or runs
	// already nothing happens. finish gets the result, from the host's own
	// goroutine and whether or not anybody still looks at the page; what it returns
	// is kept as the outcome. The error is ErrBusy where the queue is full.
	Start(id string, input []byte, finish func(ctx context.Context, result []byte) error) error
	// State is how a task stands; the zero value where none of that id is known.
	State(id string) TaskState
	// Cancel stops a task and forgets it.
	Cancel(id string)
}

// ErrBusy says that too many tasks wait already.
var ErrBusy = errors.New("too much is being worked out already: wait until one of them is done, or cancel it")

// TaskState is how a task stands. One that is done and was kept is forgotten.
type TaskState struct {
	Phase    TaskPhase
	Ahead    int // tasks before it, while it waits
	Progress task.Progress
	Err      string // one sentence, after it failed
}

// TaskPhase is a part of a task's life.
type TaskPhase string

// The phases; NoTask is the zero value.
const (
	NoTask      TaskPhase = ""
	TaskWaiting TaskPhase = "waiting"
	TaskRunning TaskPhase = "running"
	TaskFailed  TaskPhase = "failed"
)

// Busy says that it waits or runs.
func (s TaskState) Busy() bool { return s.Phase == TaskWaiting || s.Phase == TaskRunning }

//go:build js

package main

import (
	"context"
	"encoding/json"
	"syscall/js"

	"soundmetal/task"
)

// serveTask hands one function to the worker's script: it takes the input as
// text and a function that is told the progress, and promises the result. The
// worker is ended to cancel it.
func serveTask() error {
	run := js.FuncOf(func(_ js.Value, args []js.Value) any {
		input, tell := args[0].String(), args[1]
		return promise(func() (any, error) {
			result, err := task.Run(context.Background(), []byte(input), func(p task.Progress) {
				if data, err := json.Marshal(p); err == nil {
					tell.Invoke(string(data))
				}
			})
			return string(result), err
		})
	})
	js.Global().Call("pocketReady", map[string]any{"run": run})
	return nil
}

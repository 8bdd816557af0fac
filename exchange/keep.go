package exchange

import (
	"bytes"
	"context"
	"errors"
	"sync"
)

// Keep is where a side keeps its few small records: keys, what the host has
// confirmed, the devices. It is not the book: a lost record costs a new pairing,
// never an entry. Names have small letters, digits and hyphens.
type Keep interface {
	// Load gives a record; nil without an error where there is none.
	Load(ctx context.Context, name string) ([]byte, error)
	// Save puts a record in place of the last one of its name. When it returns
	// without error it is on disk.
	Save(ctx context.Context, name string, data []byte) error
}

// MemoryKeep keeps records in memory, for tests and demos.
type MemoryKeep struct {
	mu  sync.Mutex
	all map[string][]byte
}

// Load is described at Keep.
func (k *MemoryKeep) Load(_ context.Context, name string) ([]byte, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	return bytes.Clone(k.all[name]), nil
}

// Save is described at Keep.
func (k *MemoryKeep) Save(_ context.Context, name string, data []byte) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.all == nil {
		k.all = map[string][]byte{}
	}
	k.all[name] = bytes.Clone(data)
	return nil
}

// load reads a record into v, which stays as it is where there is none.
func load(ctx context.Context, k Keep, name string, v any) (found bool, err error) {
	data, err := k.Load(ctx, name)
	if err != nil || len(data) == 0 {
		return false, err
	}
	if err := readJSON(data, v); err != nil {
		return false, errors.New("the record " + name + " of the exchange cannot be read: " + err.Error())
	}
	return true, nil
}

func save(ctx context.Context, k Keep, name string, v any) error {
	data, err := writeJSON(v)
	if err != nil {
		return err
	}
	return k.Save(ctx, name, data)
}

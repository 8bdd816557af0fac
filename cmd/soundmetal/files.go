package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"soundmetal/job"
)

// readFile reads a job or shop file; "-" is standard input. It never reads more
// than a job file can have. An error is a *job.Fault.
func readFile(name string) ([]byte, error) {
	fault := func(format string, v ...any) error {
		return &job.Fault{File: shown(name), Text: fmt.Sprintf(format, v...)}
	}
	var in io.Reader = os.Stdin
	if name != "-" {
		f, err := os.Open(name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil, fault("no such file; give the path of a job or shop file, or run `soundmetal demo` for some to start from")
		case errors.Is(err, fs.ErrPermission):
			return nil, fault("may not be read; check who owns it")
		case err != nil:
			return nil, fault("cannot be opened: %v", cause(err))
		}
		defer f.Close()
		info, err := f.Stat()
		switch {
		case err == nil && info.IsDir():
			return nil, fault("is a directory; give the path of one job file in it")
		case err == nil && info.Size() > job.MaxSize:
			return nil, fault("the file has %d bytes; a job or shop file has at most %d", info.Size(), job.MaxSize)
		}
		in = f
	}
	data, err := io.ReadAll(io.LimitReader(in, job.MaxSize+1))
	switch {
	case err != nil:
		return nil, fault("cannot be read: %v", cause(err))
	case len(data) > job.MaxSize:
		return nil, fault("more than %d bytes; a job or shop file has at most so many", job.MaxSize)
	}
	return data, nil
}

// shown is a file's name in messages.
func shown(name string) string {
	if name == "-" {
		return "standard input"
	}
	return name
}

// cause takes the name of the file out of an error, since it stands before it.
func cause(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}

// load reads the job and the shop: the file named, or shop.yaml beside the job,
// or none.
func load(jobFile, shopFile string) (job.Job, *job.Shop, error) {
	data, err := readFile(jobFile)
	if err != nil {
		return job.Job{}, nil, err
	}
	j, err := job.Read(shown(jobFile), data)
	if err != nil {
		return j, nil, err
	}
	if shopFile == "" {
		beside := filepath.Join(filepath.Dir(jobFile), "shop.yaml")
		if _, err := os.Stat(beside); err != nil || jobFile == "-" {
			return j, nil, nil
		}
		shopFile = beside
	}
	if data, err = readFile(shopFile); err != nil {
		return j, nil, err
	}
	s, err := job.ReadShop(shown(shopFile), data)
	return j, &s, err
}

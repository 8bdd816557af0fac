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
// than a job file can have.
func readFile(name string) ([]byte, error) {
	var in io.Reader = os.Stdin
	if name != "-" {
		f, err := os.Open(name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil, errBadInput{fmt.Errorf("%s: no such file; give the path of a job file, or run `soundmetal demo` for some to start from", name)}
		case errors.Is(err, fs.ErrPermission):
			return nil, errBadInput{fmt.Errorf("%s: may not be read; check who owns it", name)}
		case err != nil:
			return nil, errBadInput{err}
		}
		defer f.Close()
		if info, err := f.Stat(); err == nil && info.IsDir() {
			return nil, errBadInput{fmt.Errorf("%s: is a directory; give the path of one job file in it", name)}
		}
		in = f
	}
	data, err := io.ReadAll(io.LimitReader(in, job.MaxSize+1))
	if err != nil {
		return nil, errBadInput{fmt.Errorf("%s: cannot be read: %w", name, err)}
	}
	return data, nil
}

// load reads the job and the shop: the file named, or shop.yaml beside the job,
// or none.
func load(jobFile, shopFile string) (job.Job, *job.Shop, error) {
	data, err := readFile(jobFile)
	if err != nil {
		return job.Job{}, nil, err
	}
	j, err := job.Read(jobFile, data)
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
	s, err := job.ReadShop(shopFile, data)
	return j, &s, err
}

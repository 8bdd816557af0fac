// Command pack compresses the phone's program once, when it is built, for the
// host to send as it is: pack FILE.wasm writes FILE.wasm.br and FILE.wasm.gz.
package main

import (
	"compress/gzip"
	"fmt"
	"io"
	"os"

	"github.com/andybalholm/brotli"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: pack FILE")
		os.Exit(2)
	}
	if err := pack(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "pack:", err)
		os.Exit(1)
	}
}

func pack(path string) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	for ending, writer := range map[string]func(io.Writer) io.WriteCloser{
		".br": func(w io.Writer) io.WriteCloser { return brotli.NewWriterLevel(w, brotli.BestCompression) },
		".gz": func(w io.Writer) io.WriteCloser {
			z, err := gzip.NewWriterLevel(w, gzip.BestCompression)
			if err != nil {
				panic(err)
			}
			return z
		},
	} {
		f, err := os.Create(path + ending)
		if err != nil {
			return err
		}
		z := writer(f)
		if _, err := z.Write(data); err != nil {
			return err
		}
		if err := z.Close(); err != nil {
			return err
		}
		if err := f.Close(); err != nil {
			return err
		}
	}
	return nil
}

// Command pack compresses the phone's program once, when it is built, for the
// host to send as it is: pack FILE.wasm writes FILE.wasm.br and FILE.wasm.gz.
// Best compression takes a minute; -quick takes seconds and a sixth more room.
package main

import (
	"compress/gzip"
	"flag"
	"fmt"
	"io"
	"os"

	"github.com/andybalholm/brotli"
)

func main() {
	quick := flag.Bool("quick", false, "compress quickly, for tests")
	flag.Parse()
	if flag.NArg() != 1 {
		fmt.Fprintln(os.Stderr, "usage: pack [-quick] FILE")
		os.Exit(2)
	}
	level := brotli.BestCompression
	if *quick {
		level = brotli.DefaultCompression
	}
	if err := pack(flag.Arg(0), level); err != nil {
		fmt.Fprintln(os.Stderr, "pack:", err)
		os.Exit(1)
	}
}

func pack(path string, level int) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	for ending, writer := range map[string]func(io.Writer) io.WriteCloser{
		".br": func(w io.Writer) io.WriteCloser {
			return brotli.NewWriterOptions(w, brotli.WriterOptions{Quality: level, LGWin: 24})
		},
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

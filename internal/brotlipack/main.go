// Command brotlipack packs a file with brotli as tightly as it goes. The engine
// goes to phones, so it is worth the half minute of work; what is packed
// already is left as it is.
//
//	go run ./internal/brotlipack FILE PACKED
package main

import (
	"bytes"
	"fmt"
	"io"
	"os"

	"github.com/andybalholm/brotli"
)

func main() {
	if len(os.Args) != 3 {
		fmt.Fprintln(os.Stderr, "usage: brotlipack FILE PACKED")
		os.Exit(2)
	}
	if err := file(os.Args[1], os.Args[2]); err != nil {
		fmt.Fprintln(os.Stderr, "brotlipack:", err)
		os.Exit(1)
	}
}

func file(name, to string) error {
	b, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	if have, err := os.ReadFile(to); err == nil && holds(have, b) {
		return nil
	}
	packed, err := pack(b)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return os.WriteFile(to, packed, 0o644)
}

func holds(packed, b []byte) bool {
	have, err := io.ReadAll(brotli.NewReader(bytes.NewReader(packed)))
	return err == nil && bytes.Equal(have, b)
}

func pack(b []byte) ([]byte, error) {
	var out bytes.Buffer
	w := brotli.NewWriterOptions(&out, brotli.WriterOptions{Quality: brotli.BestCompression, LGWin: 24})
	if _, err := w.Write(b); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

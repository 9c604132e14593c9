package httpapi

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"

	"github.com/andybalholm/brotli"
)

// assets are the files of the app, read once. A path of a request is only ever
// looked up in this list; nothing is opened for it.
type assets map[string]*asset

type asset struct {
	kind   string
	etag   string
	cache  string
	plain  []byte // nil if only the packed form is kept
	packed []byte // gzip; nil if packing gains nothing
	tight  []byte // brotli; nil if the build made none
}

// kinds are the media types of what a front-end build makes; the system's own
// list differs from machine to machine.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".mjs": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8",
	".json": "application/json", ".webmanifest": "application/manifest+json", ".map": "application/json", ".txt": "text/plain; charset=utf-8",
	".svg": "image/svg+xml", ".png": "image/png", ".jpg": "image/jpeg", ".webp": "image/webp", ".ico": "image/x-icon",
	".woff2": "font/woff2", ".ttf": "font/ttf", ".wasm": "application/wasm", ".glb": "model/gltf-binary", ".gz": "application/gzip", ".br": "application/octet-stream",
}

func newAssets(files fs.FS) (http.Handler, error) {
	a := assets{}
	if files == nil {
		return a, nil
	}
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(path.Base(name), ".") {
			return err
		}
		b, err := fs.ReadFile(files, name)
		if err != nil {
			return err
		}
		return a.add("/"+name, b)
	})
	if err != nil {
		return nil, fmt.Errorf("the app inside this program cannot be read: %w", err)
	}
	return a, nil
}

// add puts a file into the list. What the build has packed already, such as
// the engine, is sent packed under its plain name too; under its own name it is
// the packed file itself, for a page that keeps and unpacks it.
func (a assets) add(name string, b []byte) error {
	sum := sha256.Sum256(b)
	f := &asset{kind: kindOf(name), etag: `"` + hex.EncodeToString(sum[:12]) + `"`, cache: "no-cache", plain: b}
	if strings.HasPrefix(name, "/assets/") { // the build puts a hash into these names
		f.cache = "public, max-age=31536000, immutable"
	}
	a[name] = f
	if plain, ok := strings.CutSuffix(name, ".gz"); ok {
		if _, err := gzip.NewReader(bytes.NewReader(b)); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		a.of(plain, f).packed = b
		return nil
	}
	if plain, ok := strings.CutSuffix(name, ".br"); ok {
		if _, err := io.Copy(io.Discard, brotli.NewReader(bytes.NewReader(b))); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		a.of(plain, f).tight = b
		return nil
	}
	if packed := pack(b); len(b) > 1000 && len(packed) < len(b)*9/10 {
		f.packed = packed
	}
	return nil
}

// of is the file that a packed one unpacks to. The walk is in order of names,
// so a plain file is there before its packed forms.
func (a assets) of(plain string, packed *asset) *asset {
	if a[plain] == nil {
		a[plain] = &asset{kind: kindOf(plain), etag: packed.etag, cache: packed.cache}
	}
	return a[plain]
}

func kindOf(name string) string {
	if k := kinds[path.Ext(name)]; k != "" {
		return k
	}
	return "application/octet-stream"
}

func pack(b []byte) []byte {
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	_, _ = z.Write(b) // a buffer takes everything
	_ = z.Close()
	return out.Bytes()
}

// ServeHTTP sends a file of the app. Paths of the app's own pages get its
// first page.
func (a assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "only GET and HEAD are answered here", http.StatusMethodNotAllowed)
		return
	}
	f := a[r.URL.Path]
	if f == nil && path.Ext(r.URL.Path) == "" {
		f = a["/index.html"]
		if f == nil {
			w.Header().Set("Content-Type", kinds[".html"])
			_, _ = io.WriteString(w, unbuilt)
			return
		}
	}
	if f == nil {
		http.Error(w, "there is no such file", http.StatusNotFound)
		return
	}
	f.send(w, r)
}

func (f *asset) send(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Type", f.kind)
	h.Set("Cache-Control", f.cache)
	h.Set("Vary", "Accept-Encoding")
	accept := r.Header.Get("Accept-Encoding")
	br, gz := weight(accept, "br"), weight(accept, "gzip")
	if f.tight != nil && br > 0 && (br >= gz || f.packed == nil) {
		h.Set("Content-Encoding", "br")
		f.write(w, r, strings.TrimSuffix(f.etag, `"`)+`-br"`, f.tight)
		return
	}
	if f.packed != nil && gz > 0 {
		h.Set("Content-Encoding", "gzip")
		f.write(w, r, strings.TrimSuffix(f.etag, `"`)+`-gz"`, f.packed)
		return
	}
	b, err := f.unpacked()
	if err != nil {
		http.Error(w, "the file inside this program is damaged", http.StatusInternalServerError)
		return
	}
	f.write(w, r, f.etag, b)
}

func (f *asset) unpacked() ([]byte, error) {
	switch {
	case f.plain != nil:
		return f.plain, nil
	case f.packed != nil:
		z, err := gzip.NewReader(bytes.NewReader(f.packed))
		if err != nil {
			return nil, err
		}
		return io.ReadAll(z)
	}
	return io.ReadAll(brotli.NewReader(bytes.NewReader(f.tight)))
}

func (f *asset) write(w http.ResponseWriter, r *http.Request, etag string, b []byte) {
	w.Header().Set("ETag", etag)
	for _, have := range strings.Split(r.Header.Get("If-None-Match"), ",") {
		if strings.TrimPrefix(strings.TrimSpace(have), "W/") == etag {
			w.Header().Del("Content-Encoding")
			w.WriteHeader(http.StatusNotModified)
			return
		}
	}
	w.Header().Set("Content-Length", strconv.Itoa(len(b)))
	w.WriteHeader(http.StatusOK)
	if r.Method == http.MethodGet {
		_, _ = w.Write(b)
	}
}

// acceptsGzip says whether a reply may be packed.
func acceptsGzip(header string) bool { return weight(header, "gzip") > 0 }

// weight reads how much an encoding is wanted, 0 for not at all, from
// Accept-Encoding (RFC 9110 §12.5.3, read from memory).
func weight(header, encoding string) float64 {
	any := 0.0
	for _, part := range strings.Split(header, ",") {
		name, params, _ := strings.Cut(part, ";")
		q := 1.0
		if v, ok := strings.CutPrefix(strings.ReplaceAll(params, " ", ""), "q="); ok {
			q, _ = strconv.ParseFloat(v, 64)
		}
		switch strings.ToLower(strings.TrimSpace(name)) {
		case encoding:
			return q
		case "*":
			any = q
		}
	}
	return any
}

const unbuilt = `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Seamwright</title></head>
<body><h1>Seamwright is running</h1>
<p>This program was built without its app. The interface for programs works: <a href="/api">/api</a> lists every call.</p>
<p>To build the app too: <code>make run</code> in the project's folder.</p>
</body></html>
`

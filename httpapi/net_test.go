package httpapi

import (
	"bufio"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"io"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Somebody who opens connections and says nothing must not keep others out.
func TestSlowHeaders(t *testing.T) {
	t.Parallel()
	s := started(t, nil)
	c, err := net.Dial("tcp", strings.TrimPrefix(s.url, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	c.SetDeadline(time.Now().Add(headerTime + 10*time.Second))
	io.WriteString(c, "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ")
	b, err := io.ReadAll(c)
	if ne, ok := err.(net.Error); ok && ne.Timeout() {
		t.Errorf("the connection stayed open: %q", b)
	}
}

func TestLongHeaders(t *testing.T) {
	s := started(t, nil)
	s.want(431, "GET", "/", nil, "X-Long", strings.Repeat("x", 64<<10))
	s.want(200, "GET", "/", nil, "X-Long", strings.Repeat("x", 8<<10))
}

// When all places for hashing are taken, an attempt is told to come again and
// takes no memory meanwhile.
func TestHashesInTurn(t *testing.T) {
	t.Parallel()
	s := serving(t, locked(t), nil)
	for range cap(s.server.hashing) {
		s.server.hashing <- struct{}{}
	}
	if a := s.want(503, "POST", "/api/session", map[string]string{"password": word}); a.header.Get("Retry-After") == "" || a.says(t).Code != "busy" {
		t.Errorf("%s", a.body)
	}
	<-s.server.hashing
	s.want(200, "POST", "/api/session", map[string]string{"password": word})
}

// Over https the session's cookie never travels in the open.
func TestHTTPS(t *testing.T) {
	st := locked(t)
	server, err := New(Config{Store: st, Open: true, TLS: true})
	if err != nil {
		t.Fatal(err)
	}
	cert, key, roots := certificate(t)
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- server.Serve(ctx, ln, cert, key) }()
	web := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}}
	res, err := web.Post("https://"+ln.Addr().String()+"/api/session", "application/json", strings.NewReader(`{"password":"`+word+`"}`))
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	if c := res.Header.Get("Set-Cookie"); res.StatusCode != 200 || !strings.Contains(c, "Secure") {
		t.Errorf("%d %q", res.StatusCode, c)
	}
	web.CloseIdleConnections()
	cancel()
	if err := <-done; err != nil {
		t.Error(err)
	}
	ln2, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	if err := server.Serve(context.Background(), ln2, key, cert); err == nil {
		t.Error("a wrong certificate was served")
	}
}

func certificate(t *testing.T) (cert, key string, roots *x509.CertPool) {
	t.Helper()
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	form := &x509.Certificate{SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true}
	der, err := x509.CreateCertificate(rand.Reader, form, form, &k.PublicKey, k)
	if err != nil {
		t.Fatal(err)
	}
	kder, err := x509.MarshalPKCS8PrivateKey(k)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	cert, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	write := func(name, kind string, b []byte) {
		if err := os.WriteFile(name, pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: b}), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write(cert, "CERTIFICATE", der)
	write(key, "PRIVATE KEY", kder)
	roots = x509.NewCertPool()
	c, _ := x509.ParseCertificate(der)
	roots.AddCert(c)
	return cert, key, roots
}

// A client that goes away in the middle of sending leaves nothing behind.
func TestCutOffSave(t *testing.T) {
	s := started(t, nil)
	c, err := net.Dial("tcp", strings.TrimPrefix(s.url, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	io.WriteString(c, "PUT "+demo+" HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 1000\r\n\r\n{\"expected\":1,\"doc\":{\"name\":\"half")
	c.(*net.TCPConn).CloseWrite()
	res, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err == nil {
		res.Body.Close()
		if res.StatusCode < 400 {
			t.Errorf("half a change was answered with %d", res.StatusCode)
		}
	}
	c.Close()
	j, err := s.store.Job(context.Background(), "demo-lean-16x12")
	if err != nil || j.Head != 1 {
		t.Errorf("%+v %v", j, err)
	}
}

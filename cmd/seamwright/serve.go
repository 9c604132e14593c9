package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"

	"seamwright/httpapi"
	"seamwright/store"
	"seamwright/web"
)

// passwordEnv holds a new password for --set-password, so that it stands in no
// list of processes.
const passwordEnv = "SEAMWRIGHT_PASSWORD"

type serveCmd struct {
	Addr           string   `default:"127.0.0.1:8740" placeholder:"HOST:PORT" help:"Where to listen; port 0 takes a free one. Anything but loopback needs a password set first."`
	Data           string   `placeholder:"DIR" help:"Folder the jobs are kept in; seamwright in your configuration folder if left out."`
	SetPassword    bool     `xor:"password" help:"Set the password and end: the first line of standard input, or SEAMWRIGHT_PASSWORD. Everybody is logged out."`
	RemovePassword bool     `xor:"password" help:"Take the password away and end."`
	AllowHost      []string `placeholder:"NAME" help:"Further name the server is reached under, through a proxy for example. Needs a password. May be repeated."`
	Cert           string   `placeholder:"FILE" help:"Certificate, to serve https; needs --key."`
	Key            string   `placeholder:"FILE" help:"Key of the certificate."`
}

func (c serveCmd) Run(s streams) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if (c.Cert == "") != (c.Key == "") {
		return errors.New("https needs both a certificate and its key\nhint:  --cert FILE --key FILE")
	}
	dir, err := dataFolder(c.Data)
	if err != nil {
		return err
	}
	st, err := store.Open(dir)
	if err != nil {
		return err
	}
	defer st.Close()
	switch {
	case c.SetPassword:
		return setPassword(ctx, st, s)
	case c.RemovePassword:
		if err := httpapi.RemovePassword(ctx, st); err != nil {
			return err
		}
		fmt.Fprintln(s.err, "the password is gone; only this machine can be served")
		return nil
	}
	return c.serve(ctx, st, dir, s)
}

func (c serveCmd) serve(ctx context.Context, st *store.Store, dir string, s streams) error {
	addr, err := net.ResolveTCPAddr("tcp", c.Addr)
	if err != nil {
		return fmt.Errorf("%q is no address to listen on: %w\nhint:  --addr 127.0.0.1:8740, or port 0 for a free one", c.Addr, err)
	}
	server, err := httpapi.New(httpapi.Config{Store: st, Assets: web.Dist(), Version: version, Open: !addr.IP.IsLoopback() || len(c.AllowHost) > 0, Hosts: c.AllowHost, TLS: c.Cert != "",
		Log: slog.New(slog.NewTextHandler(s.err, nil))})
	if err != nil {
		return err
	}
	if err := httpapi.AddDemos(ctx, st); err != nil {
		return err
	}
	ln, err := listen(addr)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "Seamwright is at %s\n", c.url(ln.Addr().(*net.TCPAddr)))
	fmt.Fprintf(s.err, "the jobs are in %s; end with Ctrl-C\n", dir)
	if !addr.IP.IsLoopback() && c.Cert == "" {
		fmt.Fprintln(s.err, "note: without --cert and --key the connection can be listened to, and phones do not keep the app for use with no signal")
	}
	return server.Serve(ctx, ln, c.Cert, c.Key)
}

func listen(addr *net.TCPAddr) (net.Listener, error) {
	ln, err := net.ListenTCP("tcp", addr)
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return nil, fmt.Errorf("another program listens on %s already, perhaps a seamwright\nhint:  --addr %s takes a free port", addr, net.JoinHostPort(addr.IP.String(), "0"))
	case err != nil:
		return nil, fmt.Errorf("%s cannot be listened on: %w\nhint:  --addr 127.0.0.1:0 takes a free port of this machine", addr, err)
	}
	return ln, nil
}

func (c serveCmd) url(a *net.TCPAddr) string {
	scheme, host := "http", a.IP.String()
	if c.Cert != "" {
		scheme = "https"
	}
	if a.IP.IsUnspecified() {
		host = "localhost"
		if name, err := os.Hostname(); err == nil {
			host = name
		}
	}
	return fmt.Sprintf("%s://%s/", scheme, net.JoinHostPort(host, fmt.Sprint(a.Port)))
}

// dataFolder is where the jobs are kept.
func dataFolder(given string) (string, error) {
	if given != "" {
		return given, nil
	}
	base, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("this account has no configuration folder (%w)\nhint:  give one: --data DIR", err)
	}
	return filepath.Join(base, "seamwright"), nil
}

func setPassword(ctx context.Context, st *store.Store, s streams) error {
	word, given := os.LookupEnv(passwordEnv)
	if !given {
		if info, err := os.Stdin.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
			fmt.Fprint(s.err, "new password (it shows while you type): ")
		}
		line, err := bufio.NewReader(io.LimitReader(os.Stdin, 8<<10)).ReadString('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return fmt.Errorf("no password could be read: %w", err)
		}
		word = strings.TrimRight(line, "\r\n")
	}
	if err := httpapi.SetPassword(ctx, st, word); err != nil {
		return err
	}
	fmt.Fprintln(s.err, "the password is set; everybody who was logged in is logged out")
	return nil
}

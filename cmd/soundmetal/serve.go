package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"golang.org/x/crypto/acme"
	"golang.org/x/crypto/acme/autocert"

	"soundmetal/web"
)

// serveCmd is the native host of the pages: storage, login, TLS.
type serveCmd struct {
	Data    string `help:"Folder of the job book; it is made where it is missing." default:"soundmetal-book" placeholder:"DIR"`
	Addr    string `help:"Address to listen on." default:"127.0.0.1:8765" placeholder:"HOST:PORT"`
	NoLogin bool   `name:"no-login" help:"Ask for no passphrase; only where nobody but this computer can reach the address."`
	NoDemo  bool   `name:"no-demo" help:"Leave the demo jobs out on the first start."`
	Cert    string `help:"TLS certificate in PEM." placeholder:"FILE"`
	Key     string `help:"Its private key in PEM." placeholder:"FILE"`
	ACME    string `name:"acme" help:"Get the TLS certificate of this host name by ACME; its port 443 must reach this address." placeholder:"NAME"`
	Mail    string `name:"acme-mail" help:"Mail address told to the certificate authority." placeholder:"MAIL"`
	ACMEURL string `name:"acme-url" help:"Directory of another authority that speaks ACME; left out: Let's Encrypt." placeholder:"URL"`
}

// Validate is called when the flags are read.
func (c *serveCmd) Validate() error {
	switch {
	case (c.Cert == "") != (c.Key == ""):
		return errors.New("--cert and --key go together")
	case c.Cert != "" && c.ACME != "":
		return errors.New("--cert and --acme exclude each other")
	case c.ACME == "" && (c.ACMEURL != "" || c.Mail != ""):
		return errors.New("--acme-url and --acme-mail go with --acme NAME")
	case c.ACMEURL != "" && !strings.HasPrefix(c.ACMEURL, "https://"):
		return fmt.Errorf("--acme-url %s: give the https address of the authority's directory", c.ACMEURL)
	case c.NoLogin && !loopback(c.Addr):
		return fmt.Errorf("--no-login is for this computer alone: use an address such as 127.0.0.1:8765 with it, not %s", c.Addr)
	}
	return nil
}

// loopback says that only this computer can reach the address.
func loopback(addr string) bool {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		return false
	}
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

const (
	headerTime = 10 * time.Second
	readTime   = 3 * time.Minute // a photo over a bad line
	idleTime   = 2 * time.Minute
	stopTime   = 10 * time.Second
	headerSize = 64 << 10
	cleanEvery = time.Hour // expired sessions
)

func (c *serveCmd) Run(to *console) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	return c.serve(ctx, to, func(net.Addr) {})
}

// serve runs until ctx ends; up is told the address once it is listened on.
func (c *serveCmd) serve(ctx context.Context, to *console, up func(net.Addr)) error {
	log := slog.New(slog.NewTextHandler(to.err, nil))
	b, err := openBook(ctx, c.Data)
	if err != nil {
		return err
	}
	defer b.Close()
	if !c.NoDemo && b.Mark() == 0 {
		if err := web.DemoBook(ctx, b.Book, time.Now()); err != nil {
			return err
		}
	}
	for _, f := range b.Faults() {
		log.Warn("damaged entry left out", "fault", f)
	}
	secure := c.Cert != "" || c.ACME != ""
	computing, stop := context.WithCancel(ctx)
	heavy := newTasks(computing, log)
	defer heavy.wait() // before the book is closed
	defer stop()
	peers := peersOf(c.Data, b)
	service := web.Service{Book: b.Book, Now: time.Now, Log: log.Error, Where: "on this computer", Export: "/export", Tasks: heavy, Devices: peers, Link: linkOf(c.Data, b)}
	var in *login
	if !c.NoLogin {
		if in, err = openLogin(ctx, c.Data, secure, to.err, log); err != nil {
			return err
		}
		defer in.store.Close()
		go in.store.cleaning(ctx, cleanEvery, log)
		service.Logout, service.LogoutAll = "/logout", "/logout-everywhere"
	}
	server := &http.Server{
		Handler:           hosted(web.Handler(service), netPart(b, peers, log), b, in, secure),
		ReadHeaderTimeout: headerTime, ReadTimeout: readTime, WriteTimeout: readTime, IdleTimeout: idleTime, MaxHeaderBytes: headerSize,
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", c.Addr)
	if err != nil {
		return errBadInput{fmt.Errorf("cannot listen on %s: %w; give another --addr", c.Addr, err)}
	}
	defer listener.Close()
	scheme := "http"
	if secure {
		scheme = "https"
		config, err := c.tls(log)
		if err != nil {
			return err
		}
		server.TLSConfig = config
		listener = tls.NewListener(listener, config)
	} else if !loopback(c.Addr) {
		fmt.Fprintln(to.err, "plain http on a network: others there can read what is sent, and phones keep nothing for offline; give --cert and --key, or --acme")
	}
	fmt.Fprintf(to.err, "the job book is at %s://%s, its files in %s; stop it with Ctrl-C\n", scheme, listener.Addr(), c.Data)
	up(listener.Addr())
	go refresh(ctx, b, log)
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	// what is being logged is finished before the book is closed
	end, cancel := context.WithTimeout(context.Background(), stopTime)
	defer cancel()
	if err := server.Shutdown(end); err != nil {
		server.Close()
	}
	if err := <-failed; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// tls gives the certificates: the files named, or those of ACME.
func (c *serveCmd) tls(log *slog.Logger) (*tls.Config, error) {
	if c.ACME != "" {
		m := &autocert.Manager{Prompt: autocert.AcceptTOS, HostPolicy: autocert.HostWhitelist(c.ACME), Cache: autocert.DirCache(filepath.Join(c.Data, "acme")), Email: c.Mail}
		if c.ACMEURL != "" {
			m.Client = &acme.Client{DirectoryURL: c.ACMEURL}
		}
		config := m.TLSConfig()
		config.MinVersion = tls.VersionTLS12
		return config, nil
	}
	files := &certFiles{cert: c.Cert, key: c.Key, log: log}
	if err := files.load(); err != nil {
		return nil, errBadInput{fmt.Errorf("the certificate cannot be read: %w", err)}
	}
	return &tls.Config{GetCertificate: files.get, MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"}}, nil
}

// exists says that a file is there.
func exists(path string) bool {
	_, err := os.Stat(path)
	return !errors.Is(err, fs.ErrNotExist)
}

package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"text/tabwriter"
	"time"

	"soundmetal/exchange"
)

// syncCmd exchanges a book with that of another computer.
type syncCmd struct {
	Data string `help:"Folder of the job book; it is made where it is missing." default:"soundmetal-book" placeholder:"DIR"`
	With string `help:"Address of the computer that keeps the book; it is kept after the first time." placeholder:"URL"`
	Code string `help:"One-time code that it shows on Phones and devices; the first time only." placeholder:"CODE"`
	Name string `help:"What this computer is called there; the first time only." placeholder:"NAME"`
}

func (c *syncCmd) Run(to *console) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	b, err := openBook(ctx, c.Data)
	if err != nil {
		return err
	}
	defer b.Close()
	link := linkOf(c.Data, b)
	link.Name = cmp.Or(c.Name, link.Name)
	if err := c.join(ctx, link, to); err != nil {
		return said(err)
	}
	last := time.Time{}
	link.Tell = func(p exchange.Progress) {
		if now := time.Now(); !p.Done && now.Sub(last) > time.Second {
			last = now
			fmt.Fprintf(to.err, "%d entries to send, %d to fetch; %d photos and plans to send, %d to fetch\n", p.Send, p.Fetch, p.SendFiles, p.FetchFiles)
		}
	}
	p, err := link.Run(ctx)
	fmt.Fprintf(to.out, "sent %d entries and %d photos or plans, fetched %d and %d\n", p.Sent, p.FilesSent, p.Fetched, p.FilesFetched)
	s, errStatus := link.Status(ctx)
	if errStatus != nil {
		return said(errors.Join(err, errStatus))
	}
	if s.Skew != 0 {
		fmt.Fprintf(to.err, "the clock of this computer is %s of that of the host; the entries stay, but set it\n", apart(s.Skew))
	}
	fmt.Fprintf(to.out, "%d entries and %d photos or plans are on this computer only\n", s.Entries, s.Files)
	return said(err)
}

// join lets this computer in where a code is given, and refuses an address that
// the book does not exchange with.
func (c *syncCmd) join(ctx context.Context, link *exchange.Client, to *console) error {
	s, err := link.Status(ctx)
	if err != nil && c.Code == "" {
		return err
	}
	if c.Code != "" {
		at := cmp.Or(c.With, s.URL)
		if at == "" {
			return errBadInput{errors.New("--code goes with --with, the address of the computer that shows it")}
		}
		if err := link.Join(ctx, at, c.Code); err != nil {
			return err
		}
		if s, err = link.Status(ctx); err != nil {
			return err
		}
		fmt.Fprintf(to.err, "let in at %s (%s)\n", s.Host, s.URL)
		return nil
	}
	switch {
	case !s.Joined:
		return errBadInput{errors.New("this book exchanges with none yet: give --with and the --code that the other computer shows on Phones and devices")}
	case c.With != "":
		if same, err := exchange.SameHost(c.With, s.URL); err != nil {
			return err
		} else if !same {
			return errBadInput{fmt.Errorf("this book exchanges with %s; to change to %s give a --code of it", s.URL, c.With)}
		}
	}
	return nil
}

// said makes one sentence of what ended an exchange: status 2 where something
// has to be put right, 1 where it may do later as it is.
func said(err error) error {
	var f *exchange.Failure
	switch {
	case err == nil:
		return nil
	case errors.Is(err, context.Canceled):
		return errBadInput{errors.New("stopped; the next exchange goes on from here")}
	case errors.As(err, &f) && f.Again():
		return later{f}
	case errors.As(err, &f):
		return errBadInput{f}
	}
	return err
}

// later marks what may go by itself.
type later struct{ error }

func (e later) Unwrap() error { return e.error }

// apart says how a clock differs.
func apart(d time.Duration) string {
	if d < 0 {
		return (-d).Round(time.Second).String() + " behind"
	}
	return d.Round(time.Second).String() + " ahead"
}

// devicesCmd lists the devices that were let in, and shuts one out.
type devicesCmd struct {
	Data   string `help:"Folder of the job book." default:"soundmetal-book" placeholder:"DIR"`
	Revoke string `help:"Shut this device out, at once; its entries stay." placeholder:"ID"`
	Admit  string `help:"Let in what others bring of this device." placeholder:"ID"`
}

func (c *devicesCmd) Run(to *console) error {
	ctx := context.Background()
	b, err := existing(ctx, c.Data)
	if err != nil {
		return err
	}
	defer b.Close()
	peers := peersOf(c.Data, b)
	if c.Revoke != "" {
		if err := peers.Revoke(ctx, c.Revoke); err != nil {
			return said(err)
		}
	}
	if c.Admit != "" {
		if err := peers.Admit(ctx, c.Admit); err != nil {
			return said(err)
		}
	}
	all, err := peers.List(ctx)
	if err != nil {
		return err
	}
	if len(all) == 0 {
		fmt.Fprintln(to.out, "no device was let in yet: make a code on the page Phones and devices")
		return nil
	}
	w := tabwriter.NewWriter(to.out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "id\tname\tlast exchange\tentries\tstate")
	for _, p := range all {
		seen, state := "never", "in"
		if !p.Seen.IsZero() {
			seen = p.Seen.Local().Format("2 Jan 2006 15:04")
		}
		switch {
		case !p.Revoked.IsZero():
			state = "shut out " + p.Revoked.Local().Format("2 Jan 2006 15:04")
		case p.Waiting > 0:
			state = fmt.Sprintf("waits: %s brought %d entries of it", p.By, p.Waiting)
		case p.Skew != 0:
			state = "in; its clock is " + apart(p.Skew)
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%d\t%s\n", p.ID, b.Registry().DeviceName(p.ID), seen, p.Entries, state)
	}
	return w.Flush()
}

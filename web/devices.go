package web

import (
	"context"
	"errors"
	"html/template"
	"strings"
	"time"

	"soundmetal/book"
	"soundmetal/exchange"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/paper"
)

// Devices lets devices in at a host; *exchange.Peers is one.
type Devices interface {
	// NewCode makes a one-time code in place of the last one.
	NewCode(context.Context) (exchange.Code, error)
	// Code gives the code that holds; ok is false where there is none.
	Code() (c exchange.Code, ok bool)
	// List gives the devices, those that wait first.
	List(context.Context) ([]exchange.Peer, error)
	// Revoke shuts a device out at once.
	Revoke(ctx context.Context, id string) error
	// Admit lets in what others bring of a device.
	Admit(ctx context.Context, id string) error
}

// pocketPath is where a phone finds the book to keep.
const pocketPath = "/pocket"

// devicesView is the page of the devices.
type devicesView struct {
	Peers []exchange.Peer
	Own   string // how this device is called
	OwnID string
	Base  string // address of this host; "": only this computer reaches it
	Plain bool   // reached without encryption
	Link  bool   // this computer may itself exchange with another
}

func (r *request) devicesView() (devicesView, error) {
	peers, err := r.Devices.List(r.Context())
	v := devicesView{Peers: peers, Own: r.reg.DeviceName(r.Book.Device()), OwnID: r.Book.Device(), Base: r.base(), Link: r.Link != nil}
	v.Plain = !strings.HasPrefix(v.Base, "https://")
	for i := range v.Peers {
		if name := r.reg.DeviceName(v.Peers[i].ID); name != v.Peers[i].ID {
			v.Peers[i].Name = name
		}
	}
	return v, err
}

func (r *request) devices() error {
	v, err := r.devicesView()
	if err != nil {
		return err
	}
	return r.render("devices", "Phones and devices", v)
}

// codeView is the page with the one-time code.
type codeView struct {
	devicesView
	Code  exchange.Code
	Holds bool
	URL   string // what the drawn code holds
	QR    template.HTML
}

// Digits is the code as a command takes it.
func (v codeView) Digits() string { return strings.ReplaceAll(v.Code.Text, " ", "") }

func (r *request) deviceCode() error {
	d, err := r.devicesView()
	if err != nil {
		return err
	}
	v := codeView{devicesView: d}
	v.Code, v.Holds = r.Devices.Code()
	if v.Base != "" {
		v.URL = v.Base + pocketPath
		if code, ok := paper.QR(v.URL+"#code="+v.Digits(), 100); ok && v.Holds {
			code.Title, code.Desc = "Code for the phone", "Opens "+v.URL+" with the code "+v.Code.Text
			v.QR = template.HTML(draw.SVG(code, "qr"))
		}
	}
	return r.render("code", "One-time code", v)
}

func (r *request) newDeviceCode() error {
	if _, err := r.Devices.NewCode(r.Context()); err != nil {
		return err
	}
	return r.goTo("/devices/code")
}

func (r *request) revokeForm() error {
	id := r.FormValue("id")
	peers, err := r.Devices.List(r.Context())
	if err != nil {
		return err
	}
	for _, p := range peers {
		if p.ID == id && p.Revoked.IsZero() {
			name := r.reg.DeviceName(id)
			return r.showForm(statusOK, Form{Title: "Shut out " + name, Icon: "lock", Back: "/devices", Submit: "Shut it out",
				Lead:   "From now on " + name + " gets nothing and sends nothing. What it sent before stays in the book, and what it holds stays on it.",
				Fields: []Field{hidden("id", id)}})
		}
	}
	return missing("there is no such device, or it is shut out already")
}

func (r *request) revoke() error { return r.changeDevice(r.Devices.Revoke) }
func (r *request) admit() error  { return r.changeDevice(r.Devices.Admit) }

func (r *request) changeDevice(f func(context.Context, string) error) error {
	var no *exchange.Failure
	switch err := f(r.Context(), r.PostFormValue("id")); {
	case errors.As(err, &no):
		return missing("%s", no.Text)
	case err != nil:
		return err
	}
	return r.goTo("/devices")
}

// nameAction gives a device the name that people read.
var nameAction = action{
	func(r *request) (Form, error) {
		id := r.FormValue("id")
		return Form{Title: "Name of a device", Icon: "note", Back: "/devices", Submit: "Call it so",
			Fields: []Field{text("name", "Name").must().hint("office, truck phone").is(r.reg.DeviceName(id)), hidden("device", id)}}, nil
	},
	func(_ *request, v values) (book.Command, error) {
		return book.NameDevice{Device: v.text("device"), Name: v.text("name")}, nil
	},
	func(*request, book.Result) string { return "/devices" },
}

// Ahead says how a clock differs: "2 h 05 min ahead"; "" where it does not.
func (p page) Ahead(d time.Duration) string {
	switch {
	case d > 0:
		return span(d) + " ahead"
	case d < 0:
		return span(-d) + " behind"
	}
	return ""
}

package exchange

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"math/big"
	"strings"
	"time"
	"unicode/utf8"

	"soundmetal/store"
)

// A code lets one device in, once. Eight digits can be said over a machine that
// runs. Guessing is stopped by the few tries that a code takes: with ten of them
// at one code in a hundred million, one code in ten million falls.
const (
	codeDigits = 8
	CodeTime   = 10 * time.Minute
	codeTries  = 10
)

// Code is the one-time code as it is shown.
type Code struct {
	Text  string // 4821 9035
	Until time.Time
	Wrong int // wrong codes that were tried since it was made
}

// Spent says that too many wrong codes were tried: it lets nobody in any more.
func (c Code) Spent() bool { return c.Wrong >= codeTries }

// code is the one that holds now.
type code struct {
	Code
	sum store.Hash
}

// usedCode is the last one that let a device in, with the key that it gave out:
// the same request, sent again because its answer was lost, gets the same answer.
type usedCode struct {
	sum, try store.Hash
	device   string
	until    time.Time
	secret   string
}

// digits leaves the digits of a code as it was typed or said.
func digits(s string) string {
	return strings.Map(func(c rune) rune {
		if '0' <= c && c <= '9' {
			return c
		}
		return -1
	}, s)
}

// NewCode makes a one-time code in place of the last one.
func (p *Peers) NewCode(context.Context) (Code, error) {
	n, err := rand.Int(rand.Reader, big.NewInt(1e8))
	if err != nil {
		return Code{}, err
	}
	text := fmt.Sprintf("%0*d", codeDigits, n)
	p.codeMu.Lock()
	defer p.codeMu.Unlock()
	p.code = &code{Code: Code{Text: text[:4] + " " + text[4:], Until: p.now().Add(CodeTime)}, sum: store.HashOf([]byte(text))}
	return p.code.Code, nil
}

// Code gives the code that holds; ok is false where there is none.
func (p *Peers) Code() (c Code, ok bool) {
	p.codeMu.Lock()
	defer p.codeMu.Unlock()
	if p.code == nil || !p.now().Before(p.code.Until) {
		return Code{}, false
	}
	return p.code.Code, true
}

// DropCode ends the code that holds.
func (p *Peers) DropCode() {
	p.codeMu.Lock()
	defer p.codeMu.Unlock()
	p.code = nil
}

// redeem says whether a code lets the device in, and uses it up; it gives the
// secret of the key. The same request sent again gets the same one.
func (p *Peers) redeem(text, device, try string) (secret string, again bool, f *Failure) {
	const fresh = "make a new one at the host, on Phones and devices"
	sum, trySum, now := store.HashOf([]byte(digits(text))), store.HashOf([]byte(try)), p.now()
	same := func(a, b store.Hash) bool { return subtle.ConstantTimeCompare(a[:], b[:]) == 1 }
	p.codeMu.Lock()
	defer p.codeMu.Unlock()
	if u := p.used; u != nil && same(u.sum, sum) {
		if now.Before(u.until) && u.device == device && same(u.try, trySum) {
			return u.secret, true, nil
		}
		return "", false, failure(BadCode, fresh, "this code was used already: one code lets one device in")
	}
	c := p.code
	switch {
	case c == nil:
		return "", false, failure(BadCode, fresh, "the host has no code that holds now")
	case c.Spent():
		return "", false, failure(TooMany, fresh, "too many wrong codes were tried, so this code lets nobody in")
	case !same(c.sum, sum):
		c.Wrong++
		return "", false, failure(BadCode, "look at it again", "this is not the code that the host shows")
	case !now.Before(c.Until):
		return "", false, failure(BadCode, fresh, "this code is older than %d minutes", CodeTime/time.Minute)
	}
	random := make([]byte, 32)
	rand.Read(random)
	secret = base64.RawURLEncoding.EncodeToString(random)
	p.used, p.code = &usedCode{sum, trySum, device, c.Until, secret}, nil
	return secret, false, nil
}

// pair lets a device in.
func (p *Peers) pair(ctx context.Context, r pairRequest) (token string, err error) {
	name := strings.Join(strings.Fields(r.Name), " ")
	switch err := store.CheckDevice(r.Device); {
	case err != nil:
		return "", failure(BadDevice, "", "%v", err)
	case name == "" || len(name) > MaxName || !utf8.ValidString(name):
		return "", failure(BadDevice, "call it phone or truck", "a device needs a name of up to %d letters", MaxName)
	case len(r.Try) < 16 || len(r.Try) > 100:
		return "", failure(BadRequest, "", "try: 16 to 100 characters chosen at random are accepted")
	case len(digits(r.Code)) != codeDigits || len(r.Code) > 40:
		return "", failure(BadCode, "look at it again", "a code has %d digits", codeDigits)
	case r.Device == p.Own:
		return "", failure(BadDevice, "this folder or phone is a copy of the host: begin with an empty folder there, and pair that", "the host itself has the id %s", r.Device)
	}
	secret, again, f := p.redeem(r.Code, r.Device, r.Try)
	if f != nil {
		return "", f
	}
	return p.issue(ctx, r.Device, name, secret, again)
}

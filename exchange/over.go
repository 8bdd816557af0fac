//go:build !js

package exchange

import (
	"bytes"
	"context"
	"net/http"
	"net/textproto"
)

// Over sends requests by a client of net/http.
func Over(c *http.Client) Doer { return over{c} }

type over struct{ *http.Client }

func (o over) Do(ctx context.Context, m Message) (*Reply, error) {
	r, err := http.NewRequestWithContext(ctx, m.Method, m.URL, bytes.NewReader(m.Body))
	if err != nil {
		return nil, failure(NotOurs, "look at the address", "%v", err)
	}
	r.Header = http.Header(m.Header)
	a, err := o.Client.Do(r)
	if err != nil {
		return nil, err
	}
	return &Reply{a.StatusCode, textproto.MIMEHeader(a.Header), a.Body}, nil
}

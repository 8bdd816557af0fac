// Package exchange lets devices of one job book exchange their logs and files
// over HTTP. docs/exchange.md describes the protocol so that another program can
// speak it.
//
// A Server answers below /net/ on the host that the devices know: the laptop in
// the office. A Client is the other side: a phone, or a second laptop. It is
// driven step by step, one short request each, so that a page may drive it that
// must not be kept busy for long:
//
//	c := &exchange.Client{Book: b, Keep: keep}
//	err := c.Join(ctx, "https://book.example", "4821 9035")
//	for {
//		p, err := c.Step(ctx)
//		if err != nil || p.Done {
//			break
//		}
//	}
//
// Nothing that is exchanged is trusted for where it comes from: an entry proves
// itself by its hash and the chain of its log, a file by the hash of its bytes.
// Every request may be cut, delayed, sent twice or out of order; what is stored
// afterwards is a beginning of what was sent, and the next Step finds out where
// to go on. What a device alone holds is counted from what the host has
// confirmed, never from what was sent.
//
// The package opens no files and no sockets: a host gives it an HTTP client, a
// place for a few small records (Keep), and a mux to stand in.
package exchange

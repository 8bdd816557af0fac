package exchange

import (
	"time"

	"soundmetal/store"
)

// Version of the protocol. Nothing is added to it: what an older build does not
// know is another version.
const Version = 1

// Headers of every request and every answer.
const (
	headVersion = "Exchange-Version"
	headTime    = "Exchange-Time" // what the sender's clock reads, milliseconds since 1970 UTC
)

// Paths of the protocol.
const (
	pathHello   = "/net/hello"
	pathPair    = "/net/pair"
	pathHeads   = "/net/heads"
	pathEntries = "/net/entries"
	pathPull    = "/net/pull"
	pathWanted  = "/net/wanted"
	pathFiles   = "/net/files/" // and the hash
)

const (
	mediaJSON  = "application/json"
	mediaLines = "application/jsonl"
	mediaFile  = "application/octet-stream"
)

// Limits. A message that is larger is refused unread.
const (
	PartEntries = 500     // entries that one request carries
	PartBytes   = 1 << 20 // bytes of their lines; one entry alone may be larger
	MaxMessage  = 2 << 20 // bytes of any message but a file, unpacked
	MaxEntries  = 1000    // entries that are accepted in one message
	MaxDevices  = 1000    // logs of a book that are exchanged
	MaxNamed    = 500     // files that one answer names
	MaxName     = 60      // bytes of the name of a device
	maxPair     = 4 << 10 // bytes of a request to pair
	maxSeq      = 1 << 53 // sequence numbers that every JSON reader keeps exactly
	gzipFrom    = 1 << 10 // bytes from which a message is packed
)

// SkewLimit is how far two clocks may differ before both sides say so.
const SkewLimit = 2 * time.Minute

// hello tells what answers at an address.
type hello struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
}

const formatName = "soundmetal exchange"

// pairRequest asks to be let in.
type pairRequest struct {
	Code   string `json:"code"`
	Device string `json:"device"`
	Name   string `json:"name"`
	Try    string `json:"try"` // chosen by the device at random: a request that was sent again has the same
}

type pairAnswer struct {
	Token  string `json:"token"`
	Device string `json:"device"` // of the host
	Name   string `json:"name"`
}

// headsMessage says where the logs of a side end.
type headsMessage struct {
	Heads []store.Head `json:"heads"`
}

type headsAnswer struct {
	Device string       `json:"device"` // of the host
	Name   string       `json:"name"`
	Heads  []store.Head `json:"heads"`
	Held   []Held       `json:"held"`   // logs that the host does not take from this device
	Parted []Parted     `json:"parted"` // logs that were written twice
}

// Held is a log that the host does not take.
type Held struct {
	Device string `json:"device"`
	Reason Reason `json:"reason"` // unknown-device, revoked
}

// Parted is a log that has grown apart: entry Seq is not the same on both sides.
type Parted struct {
	Device string `json:"device"`
	Seq    int64  `json:"seq"`
}

// takenAnswer confirms entries.
type takenAnswer struct {
	New   int          `json:"new"`   // that were not known before
	Known int          `json:"known"` // that were
	Seen  store.Vector `json:"seen"`  // where the logs that were sent end now
}

// pullRequest asks for entries.
type pullRequest struct {
	Seen  store.Vector `json:"seen"`
	Most  int          `json:"most"`
	Bytes int          `json:"bytes"`
}

// batchHead is the first line of a batch of entries.
type batchHead struct {
	Entries int   `json:"entries"` // lines that follow
	Left    int64 `json:"left"`    // entries that are still to be asked for
}

// wantedAnswer names files that entries name and that are not here.
type wantedAnswer struct {
	Files []store.Hash `json:"files"`
	More  bool         `json:"more"`
}

type storedAnswer struct {
	New bool `json:"new"`
}

// Package browser keeps a book in the browser: IndexedDB under package
// store/memory. The calls into IndexedDB are those of idb.js, which must be
// loaded beside the program; one change is one transaction with durability
// "strict", and is answered after it is complete.
//
// One program at a time may write. Where another one has written meanwhile (the
// old worker during an update) a change is refused with ErrStale and nothing is
// stored: the program is to be started again and sees everything then.
package browser

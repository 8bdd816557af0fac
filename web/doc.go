// Package web is the pages of the job book: one http.Handler over a book.Book,
// and nothing about who hosts it. It sets no cookie and reads no address, so
// that the native program and the phone's service worker run the same pages;
// login, cross-origin protection and TLS are the host's affair.
//
// Every change is one plain form: a hidden idempotency key, one book.Command,
// and a redirect (303) to the page that shows it. A refused form comes back with
// what was typed and one sentence beside the field. All of it works without
// scripts; htmx fetches the working behind a number in place, and app.js counts
// clocks down, shrinks photos and takes the drawn signature.
//
// The field lists, labels and words come from the tags of package job, the
// figures and their working from the plan; this package computes nothing.
package web

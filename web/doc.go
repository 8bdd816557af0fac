// Package web is the pages of the job book: one handler over a book.Book,
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
// # Heavy computing
//
// The simulated heat takes seconds to minutes. A host runs it in one of two ways:
// Service.Tasks runs it in its process and hands the result back by itself;
// Service.Worker is the path of a script that the page starts as a worker of the
// browser. The page fetches /jobs/{job}/heat/input and then they speak thus, every
// message one object with one field:
//
//	page to worker   {input: TEXT}      once: the text as it was fetched
//	worker to page   {progress: {run, part, of, event, time}}   now and then, see task.Progress
//	worker to page   {result: TEXT}     at the end: what task.Run gives
//	worker to page   {error: TEXT}      instead of it: one sentence, shown as it is
//
// To cancel, the page ends the worker. A worker answers one input; the page starts
// a new one for the next. The result is posted to /jobs/{job}/heat as the field
// result, with key and item, and answered by a redirect to the page that shows it.
//
// The field lists, labels and words come from the tags of package job, the
// figures and their working from the plan; this package computes nothing.
package web

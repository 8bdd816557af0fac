// Package book is the job book: what is logged, what it comes to, and what may
// be done next.
//
// Everything is an entry of the log of one device (see package store). Entries
// are never changed; a correction is a new entry. A Job is folded from its
// entries and depends on nothing but their set: devices that have exchanged
// their logs show the same job. The package reads no clock and no file and
// speaks to no network: the time is passed in, bytes come and go through the
// store.
//
// # How a page uses it
//
// One Book serves a whole process:
//
//	b, err := book.Open(ctx, st, "office-1", book.Options{})
//
// A page reads:
//
//	cards, total := b.List(book.ListQuery{Limit: 30})      // start page: what is due comes first
//	j, err := b.Job(ctx, id)                               // everything of one job; safe to keep and read
//	others := b.OnMachine(j.Machine)                       // more than this job: the machine has cracked before
//	registry := b.Registry()                               // shop, settings, customers, machines, devices
//	file, err := b.Plan(ctx, j.Plan())                     // the plan in force as JSON; old ones: &j.Plans[i]
//	open := j.OpenHolds(item)                              // what must be answered next, in the order of the work
//	left := clock.Left(now)                                // of j.Clocks: absolute times, so a restart changes nothing
//
// A form becomes one command. Its hidden field holds the key, made when the form
// was shown; the browser may send it twice:
//
//	temp, err := book.Say[quantity.Temperature]("temp", r.FormValue("temp"), j.Units)
//	res, err := b.Do(ctx, now, r.FormValue("key"), book.LogReading{Job: id,
//		Reading: book.Reading{Item: item, Bead: 7, Temp: temp, Place: "far face"}})
//
//	var no *book.Refusal
//	switch {
//	case errors.As(err, &no): // show no.Text at the field no.Field; nothing was logged
//	case err != nil:          // the store: show that it is not saved
//	default:                  // it is on disk; show res.Deviations at once
//	}
//
// A time that is left zero is now. An item that is left empty is the job's only
// place. Measured values are *Said, nil where they are not given.
//
// # The commands
//
//	call and plan   NewJob, SetFacts, AgreeWork
//	make safe, look AnswerHold, OverrideHold, DoStep, Inspect, AddPhoto, AddNote
//	cut and weld    LogGouge, OpenTin, PutAwayTin, LogReading, BeadDone, LogPostHeat, KeepHeat
//	scope grows     FoundMore, AcceptChange, RefuseChange
//	clocks          StartClock, StopClock, CheckIn
//	put right       ClearDeviation, Correct
//	close           Close, Reopen, FollowUpLook, CrackedAgain
//	the book        SetShop, SetSettings, SetCustomer, SetMachine, NameDevice
//
// Facts of a job and of the shop are texts by path, as they were typed
// (site.wind, crack.length, power[0].max); FieldsOfJob and FieldsOfShop take a
// whole file apart. Every change of facts makes a plan; PlanVersion keeps its
// Limits, and Book.Plan the plan itself.
//
// # Without a network
//
// A job goes from book to book as one file; see JobFile and docs/book-format.md:
//
//	f, err := b.JobFile(ctx, id, true)                     // what is in it, before it is given away
//	err = f.Write(ctx, w)
//	f, err = book.OpenJobFile(ctx, r, size)                // checks all of it, stores nothing
//	t, err := b.TakeIn(ctx, now, f)                        // what was new; a second time it is nothing
//
// An entry that came so stands in this device's log inside an entry of its own,
// and counts as the one inside; see Carried.
//
// # What holds work up
//
// LogGouge, BeadDone, DoStep and AnswerHold are refused while a hold point of an
// earlier part of the work is not passed, while the customer has not answered a
// change at the place, and where the plan says that the place is not to be
// touched; see Job.Opens. Readings, inspections, photos and notes are never held
// up: what happened can always be logged. What leaves the plan is a Deviation
// with causes and cures; one marked Stop must be cleared before Close.
package book

// Package price turns computed work into hours, quantities and money, all as
// ranges, and his own finished jobs into his own figures.
//
// The plan room hands over a Call: one Work for each damaged place, with
// quantities as ranges, and the Trip to the site. From it come
//
//	Hours       every step with its time, its basis, and how it is billed
//	Quantities  what the job uses up; LoadList takes off what is on the truck
//	Estimate    P50, P80 and P95 of hours and price, what drives the spread,
//	            a not-to-exceed figure, unit rates for hidden damage
//	MakeQuote   what the customer reads: no cost and no markup in its types
//	MakeInvoice the bill of what was used
//	ChangeOrder the difference between two estimates
//	Learn       estimated against actual, shrunk towards the handbook
//
// Every price is the welder's own, from the shop file. A price that is missing
// leaves a line that says which field to fill in; nothing is invented.
//
// Rounding: quantities go up to their billing step (billing.csv); a line is
// quantity × unit price, rounded half to even to the currency's smallest unit;
// the tax is taken on the sum of the rounded taxable lines and rounded once.
// The lines as printed therefore add up to the total as printed.
package price

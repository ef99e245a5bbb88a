// Package domain is the ground the trade's packages stand on: identifiers,
// calendar dates and the faults a value can have.
//
// Everything below domain is pure: no input or output, no clock, no hidden
// randomness. Moments, identifiers and seeded sources are passed in.
package domain

// Package stats holds the mathematics of counting: how sure a count makes us,
// and how much must be counted to be sure enough.
//
// Shares, levels, confidences and limits are fractions from 0 to 1, never
// percentages. Arguments that make no sense are answered with [domain.Faults],
// all of them at once; no function gives back a NaN or an infinity. The work of
// every call is bounded, whatever its arguments.
package stats

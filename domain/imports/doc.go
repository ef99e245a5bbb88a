// Package imports reads looks of earlier seasons from a table that another program
// wrote, and says of every line what is wrong with it.
package imports

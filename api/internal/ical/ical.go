// Package ical writes calendars as RFC 5545 has them: what programs for calendars read.
package ical

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"benchtrail/domain"
)

// Calendar is what one address shows.
type Calendar struct {
	Name   string
	Zone   *time.Location // of the moments
	Made   time.Time
	Events []Event
}

// Event is a thing that is due: on whole days, or at a moment.
type Event struct {
	UID         string      // the same for as long as the thing is
	On, Until   domain.Date // the first and the last of its days
	At          time.Time   // instead of days
	Lasts       time.Duration
	Summary     string
	Description string
	Categories  string
}

// mostOctets is how long a line may be, without its end (RFC 5545, section 3.1).
const mostOctets = 75

// refresh is how often a program may ask again (RFC 7986, section 5.7).
const refresh = "PT4H"

type writer struct{ strings.Builder }

// String gives the calendar as it is sent, with CRLF line ends.
func (c Calendar) String() string {
	var w writer
	w.line("BEGIN:VCALENDAR")
	w.line("VERSION:2.0")
	w.line("PRODID:-//Benchtrail//Benchtrail//EN")
	w.line("CALSCALE:GREGORIAN")
	w.line("METHOD:PUBLISH")
	w.line("NAME:" + text(c.Name))         // RFC 7986
	w.line("X-WR-CALNAME:" + text(c.Name)) // what programs read instead
	w.line("X-WR-TIMEZONE:" + text(c.Zone.String()))
	w.line("REFRESH-INTERVAL;VALUE=DURATION:" + refresh)
	w.line("X-PUBLISHED-TTL:" + refresh)
	if from, to, ok := c.span(); ok {
		w.zone(c.Zone, from, to)
	}
	for _, e := range c.Events {
		w.event(e, c)
	}
	w.line("END:VCALENDAR")
	return w.String()
}

// span gives the first and the last moment of the events that have one.
func (c Calendar) span() (from, to time.Time, ok bool) {
	for _, e := range c.Events {
		if e.At.IsZero() {
			continue
		}
		end := e.At.Add(e.Lasts)
		if !ok || e.At.Before(from) {
			from = e.At
		}
		if !ok || end.After(to) {
			to = end
		}
		ok = true
	}
	return from, to, ok
}

func (w *writer) event(e Event, c Calendar) {
	w.line("BEGIN:VEVENT")
	w.line("UID:" + text(e.UID))
	w.line("DTSTAMP:" + c.Made.UTC().Format("20060102T150405Z"))
	if e.At.IsZero() {
		w.line("DTSTART;VALUE=DATE:" + day(e.On))
		w.line("DTEND;VALUE=DATE:" + day(e.Until.AddDays(1))) // the first day after it
	} else {
		w.line("DTSTART" + moment(e.At, c.Zone))
		w.line("DTEND" + moment(e.At.Add(e.Lasts), c.Zone))
	}
	w.line("SUMMARY:" + text(e.Summary))
	if e.Description != "" {
		w.line("DESCRIPTION:" + text(e.Description))
	}
	if e.Categories != "" {
		w.line("CATEGORIES:" + text(e.Categories))
	}
	w.line("TRANSP:TRANSPARENT") // nobody is busy by it
	w.line("END:VEVENT")
}

func day(d domain.Date) string { return d.Time().Format("20060102") }

const local = "20060102T150405"

func moment(t time.Time, zone *time.Location) string {
	return ";TZID=" + parameter(zone.String()) + ":" + t.In(zone).Format(local)
}

// parameter quotes the value of a parameter where it has to be (section 3.2). Names of
// zones hold no quotes.
func parameter(value string) string {
	if strings.ContainsAny(value, ":;,") {
		return `"` + value + `"`
	}
	return value
}

// zone tells the offsets of a zone from UTC between two moments, one part for each change.
func (w *writer) zone(zone *time.Location, from, to time.Time) {
	w.line("BEGIN:VTIMEZONE")
	w.line("TZID:" + text(zone.String()))
	at := from.In(zone)
	if start, _ := at.ZoneBounds(); !start.IsZero() {
		at = start.In(zone)
	}
	for {
		name, offset := at.Zone()
		_, before := at.Add(-time.Second).Zone()
		start, end := at.ZoneBounds()
		if start.IsZero() { // it has been so for as long as is known
			start, before = time.Unix(0, 0), offset
		}
		kind := "STANDARD"
		if at.IsDST() {
			kind = "DAYLIGHT"
		}
		w.line("BEGIN:" + kind)
		w.line("DTSTART:" + start.In(time.FixedZone("", before)).Format(local)) // as the clock showed before
		w.line("TZOFFSETFROM:" + offsetText(before))
		w.line("TZOFFSETTO:" + offsetText(offset))
		w.line("TZNAME:" + text(name))
		w.line("END:" + kind)
		if end.IsZero() || end.After(to) {
			break
		}
		at = end.In(zone)
	}
	w.line("END:VTIMEZONE")
}

func offsetText(seconds int) string {
	sign := '+'
	if seconds < 0 {
		sign, seconds = '-', -seconds
	}
	out := fmt.Sprintf("%c%02d%02d", sign, seconds/3600, seconds/60%60)
	if rest := seconds % 60; rest > 0 {
		out += fmt.Sprintf("%02d", rest)
	}
	return out
}

var escaping = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\r\n", `\n`, "\n", `\n`, "\r", `\n`)

// text escapes a value (section 3.3.11). Control characters may stand in none.
func text(value string) string {
	value = strings.ToValidUTF8(value, "\uFFFD")
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' || r == 0x7f {
			return -1
		}
		return r
	}, escaping.Replace(value))
}

// line writes a line, folded where it is too long, never within a character.
func (w *writer) line(content string) {
	room := mostOctets
	for len(content) > room {
		cut := room
		for !utf8.RuneStart(content[cut]) {
			cut--
		}
		w.WriteString(content[:cut] + "\r\n ")
		content, room = content[cut:], mostOctets-1 // the space counts
	}
	w.WriteString(content + "\r\n")
}

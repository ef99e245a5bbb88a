package ical_test

import (
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	parser "github.com/emersion/go-ical"
	"github.com/stretchr/testify/require"

	"benchtrail/api/internal/ical"
	"benchtrail/domain"
)

var made = time.Date(2026, time.September, 14, 13, 0, 0, 0, time.UTC)

func read(t require.TestingT, text string) *parser.Calendar {
	calendar, err := parser.NewDecoder(strings.NewReader(text)).Decode()
	require.NoError(t, err, text)
	return calendar
}

func chicago(t testing.TB) *time.Location {
	zone, err := time.LoadLocation("America/Chicago")
	require.NoError(t, err)
	return zone
}

func TestAParserReadsWhatWasWritten(t *testing.T) {
	t.Parallel()
	zone := chicago(t)
	at := time.Date(2026, time.September, 17, 11, 46, 21, 0, time.UTC)
	long := strings.Repeat("Wickenhale, Ómbrelith; \\ 🌿 ", 20) + "\nnext line"
	text := ical.Calendar{Name: "Quillmoor; due, all", Zone: zone, Made: made, Events: []ical.Event{
		{UID: "second-look-1@benchtrail", On: domain.NewDate(2026, time.September, 3), Until: domain.NewDate(2026, time.September, 6), Summary: long, Description: long},
		{UID: "claim-2@benchtrail", At: at, Lasts: time.Hour, Summary: "Claim"},
	}}.String()
	calendar := read(t, text)
	events := calendar.Events()
	require.Len(t, events, 2)
	name, err := calendar.Props.Text("NAME")
	require.NoError(t, err)
	require.Equal(t, "Quillmoor; due, all", name)

	summary, err := events[0].Props.Text(parser.PropSummary)
	require.NoError(t, err)
	require.Equal(t, long, summary)
	start, err := events[0].DateTimeStart(zone)
	require.NoError(t, err)
	end, err := events[0].DateTimeEnd(zone)
	require.NoError(t, err)
	require.Equal(t, []string{"2026-09-03", "2026-09-07"}, []string{start.Format(time.DateOnly), end.Format(time.DateOnly)}, "the end is the day after")

	require.Contains(t, text, "DTSTART;TZID=America/Chicago:20260917T064621\r\n")
	start, err = events[1].DateTimeStart(time.UTC)
	require.NoError(t, err)
	require.True(t, start.Equal(at))

	for _, line := range strings.SplitAfter(text, "\r\n") {
		require.LessOrEqual(t, len(strings.TrimSuffix(line, "\r\n")), 75)
		require.True(t, utf8.ValidString(line), "no character is cut in two")
	}
	require.NotContains(t, strings.ReplaceAll(text, "\r\n", ""), "\n")
}

// The folded DESCRIPTION of RFC 5545, section 3.1, and the escaped one of 3.3.11.
func TestTextIsEscapedAsTheStandardShows(t *testing.T) {
	t.Parallel()
	text := ical.Calendar{Name: "x", Zone: time.UTC, Made: made, Events: []ical.Event{{
		UID: "u", On: domain.NewDate(2026, time.September, 3), Until: domain.NewDate(2026, time.September, 3),
		Summary: "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.",
	}}}.String()
	require.Contains(t, strings.ReplaceAll(text, "\r\n ", ""), `SUMMARY:Project XYZ Final Review\nConference Room - 3B\nCome Prepared.`)
}

// America/New_York of 2007 as RFC 5545, section 3.6.5, writes it: EDT from 11 March 2007,
// EST from 4 November 2007, each at 02:00 by the clock before.
func TestAZoneIsToldAsTheStandardShows(t *testing.T) {
	t.Parallel()
	zone, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	text := ical.Calendar{Name: "x", Zone: zone, Made: made, Events: []ical.Event{
		{UID: "a", At: time.Date(2007, time.June, 1, 12, 0, 0, 0, zone), Lasts: time.Hour},
		{UID: "b", At: time.Date(2007, time.December, 1, 12, 0, 0, 0, zone), Lasts: time.Hour},
	}}.String()
	require.Contains(t, text, strings.ReplaceAll(`BEGIN:VTIMEZONE
TZID:America/New_York
BEGIN:DAYLIGHT
DTSTART:20070311T020000
TZOFFSETFROM:-0500
TZOFFSETTO:-0400
TZNAME:EDT
END:DAYLIGHT
BEGIN:STANDARD
DTSTART:20071104T020000
TZOFFSETFROM:-0400
TZOFFSETTO:-0500
TZNAME:EST
END:STANDARD
END:VTIMEZONE
`, "\n", "\r\n"))
	require.NotContains(t, ical.Calendar{Name: "x", Zone: zone, Made: made}.String(), "VTIMEZONE", "where no moment is named")
	fixed := ical.Calendar{Name: "x", Zone: time.UTC, Made: made, Events: []ical.Event{{UID: "a", At: made}}}.String()
	require.Contains(t, fixed, "TZOFFSETTO:+0000")
}

func FuzzWhateverIsWrittenIsReadAgain(f *testing.F) {
	for _, seed := range []string{"", "Quillmoor", "a;b,c\\d\ne", strings.Repeat("é", 200), "\x00\xff\r\n\x1b", "BEGIN:VEVENT\r\nUID:x", `\n`, "🌿🌿🌿"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		events := read(t, ical.Calendar{Name: text, Zone: time.UTC, Made: made, Events: []ical.Event{
			{UID: "u", On: domain.NewDate(2026, 9, 3), Until: domain.NewDate(2026, 9, 3), Summary: text, Description: text},
		}}.String()).Events()
		require.Len(t, events, 1)
		got, err := events[0].Props.Text(parser.PropSummary)
		require.NoError(t, err)
		want := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.ToValidUTF8(text, "\uFFFD"))
		want = strings.Map(func(r rune) rune {
			if r < ' ' && r != '\t' && r != '\n' || r == 0x7f {
				return -1
			}
			return r
		}, want)
		require.Equal(t, want, got)
	})
}

package domain

import (
	"errors"
	"fmt"
	"time"
)

// Date is a day of the calendar, without a time and without a zone. Growers'
// dates are local dates of their site. The zero Date means "not known".
type Date struct {
	year  int
	month time.Month
	day   int
}

// ErrDate is returned for text that is not a date of the form 2026-09-14.
var ErrDate = errors.New("not a date of the form 2026-09-14")

// ErrWeek is returned for text that is not an ISO 8601 week of the form 2026-W38.
var ErrWeek = errors.New("not a week of the form 2026-W38")

// DateOf gives the date that the clock on the wall shows at the moment t in
// its own location.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{y, m, d}
}

// NewDate makes a date; days and months that overflow are carried on, as in time.Date.
func NewDate(year int, month time.Month, day int) Date {
	return DateOf(time.Date(year, month, day, 0, 0, 0, 0, time.UTC))
}

// ParseDate reads the form 2026-09-14.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil || t.Year() < 1 {
		return Date{}, ErrDate
	}
	return DateOf(t), nil
}

// IsZero reports whether the date is not known.
func (d Date) IsZero() bool { return d == Date{} }

// Time gives midnight UTC at the start of the day; useful for arithmetic only.
func (d Date) Time() time.Time { return time.Date(d.year, d.month, d.day, 0, 0, 0, 0, time.UTC) }

// AddDays gives the date n days later, or earlier for negative n.
func (d Date) AddDays(n int) Date { return NewDate(d.year, d.month, d.day+n) }

// DaysUntil counts the days from d to other; negative when other is earlier.
func (d Date) DaysUntil(other Date) int {
	const secondsPerDay = 24 * 60 * 60 // a time.Duration ends at 292 years
	return int((other.Time().Unix() - d.Time().Unix()) / secondsPerDay)
}

// Compare is negative, zero or positive when d is before, on or after other.
func (d Date) Compare(other Date) int { return d.Time().Compare(other.Time()) }

// Before reports whether d is earlier than other.
func (d Date) Before(other Date) bool { return d.Compare(other) < 0 }

// After reports whether d is later than other.
func (d Date) After(other Date) bool { return d.Compare(other) > 0 }

// Year gives the calendar year.
func (d Date) Year() int { return d.year }

// Week gives the ISO 8601 week the date lies in.
func (d Date) Week() Week {
	y, w := d.Time().ISOWeek()
	return Week{y, w}
}

// String gives the form 2026-09-14, and nothing for the zero Date.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.year, int(d.month), d.day)
}

// MarshalText gives the same as String.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads the form 2026-09-14; empty text gives the zero Date.
func (d *Date) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*d = Date{}
		return nil
	}
	parsed, err := ParseDate(string(text))
	if err != nil {
		return err
	}
	*d = parsed
	return nil
}

// Week is an ISO 8601 week; its year can differ from the calendar year.
type Week struct {
	Year   int
	Number int // 1 to 53
}

// ParseWeek reads the form 2026-W38 and refuses week 53 of a year without one.
func ParseWeek(s string) (Week, error) {
	var w Week
	if n, err := fmt.Sscanf(s, "%4d-W%2d", &w.Year, &w.Number); n != 2 || err != nil {
		return Week{}, ErrWeek
	}
	// Scanning also takes signs and spaces; writing the week out again finds them.
	if w.String() != s || w.Year < 1 || w.Monday().Week() != w {
		return Week{}, ErrWeek
	}
	return w, nil
}

// Monday gives the first day of the week.
func (w Week) Monday() Date {
	// 4 January is always in week 1 (ISO 8601).
	fourth := NewDate(w.Year, time.January, 4)
	sinceMonday := (int(fourth.Time().Weekday()) + 6) % 7
	return fourth.AddDays(-sinceMonday + 7*(w.Number-1))
}

// String gives the form 2026-W38.
func (w Week) String() string { return fmt.Sprintf("%04d-W%02d", w.Year, w.Number) }

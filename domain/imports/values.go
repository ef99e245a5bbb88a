package imports

import (
	"strconv"
	"strings"
	"time"
	"unicode"

	"benchtrail/domain"
)

// DateOrder is the order in which a date names its day, month and year.
type DateOrder string

// The orders. Dates that begin with a year of four digits are read in any.
const (
	YearMonthDay DateOrder = "ymd"
	DayMonthYear DateOrder = "dmy"
	MonthDayYear DateOrder = "mdy"
)

// numbersOf gives the numbers of a text that is nothing but numbers and marks.
func numbersOf(text string) (numbers []int, widths []int, ok bool) {
	inside := false
	for _, r := range text {
		switch {
		case r >= '0' && r <= '9':
			if !inside {
				numbers, widths = append(numbers, 0), append(widths, 0)
			}
			inside = true
			last := len(numbers) - 1
			if widths[last]++; widths[last] > 4 {
				return nil, nil, false
			}
			numbers[last] = numbers[last]*10 + int(r-'0')
		case strings.ContainsRune("-/. :", r) || unicode.IsSpace(r):
			inside = false
		default:
			return nil, nil, false
		}
	}
	return numbers, widths, len(numbers) > 0
}

// readDate reads a date in the order given. A year of two digits is of this century.
func readDate(text string, order DateOrder) (domain.Date, bool) {
	n, widths, ok := numbersOf(text)
	if !ok || len(n) != 3 {
		return domain.Date{}, false
	}
	var year, month, day, yearWidth int
	switch {
	case widths[0] == 4 || order == YearMonthDay:
		year, month, day, yearWidth = n[0], n[1], n[2], widths[0]
	case order == MonthDayYear:
		year, month, day, yearWidth = n[2], n[0], n[1], widths[2]
	default:
		year, month, day, yearWidth = n[2], n[1], n[0], widths[2]
	}
	switch yearWidth {
	case 2:
		year += 2000
	case 4:
	default:
		return domain.Date{}, false
	}
	date := domain.NewDate(year, time.Month(month), day)
	if month < 1 || month > 12 || day < 1 || date.Time().Day() != day || year < 1990 || year > 2200 {
		return domain.Date{}, false
	}
	return date, true
}

// orderOf finds out in which order the dates of a column are written; empty where
// they can be read both ways (3/4/2025) and differ by it.
func orderOf(cells []string) DateOrder {
	fits := map[DateOrder]int{}
	for _, cell := range cells {
		day, _ := splitMoment(cell)
		_, widths, ok := numbersOf(day)
		if !ok || len(widths) != 3 || widths[0] == 4 {
			continue
		}
		for _, order := range []DateOrder{DayMonthYear, MonthDayYear} {
			if _, ok := readDate(day, order); ok {
				fits[order]++
			}
		}
	}
	switch {
	case len(fits) == 0: // what is no date at all is told line by line
		return YearMonthDay
	case fits[DayMonthYear] > fits[MonthDayYear]:
		return DayMonthYear
	case fits[MonthDayYear] > fits[DayMonthYear]:
		return MonthDayYear
	}
	return ""
}

// splitMoment parts 14/09/2026 9:05 into its day and its time.
func splitMoment(cell string) (day, clock string) {
	if at := strings.IndexAny(cell, " T\u00a0\u202f"); at > 0 {
		return cell[:at], strings.TrimFunc(cell[at:], func(r rune) bool { return r == 'T' || unicode.IsSpace(r) })
	}
	return cell, ""
}

// readClock reads 9:05, 09:05:30, 9.05 h or 9:05 pm as the time since midnight.
func readClock(text string) (time.Duration, bool) {
	text = strings.ToLower(strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return r
	}, text))
	text = strings.TrimSuffix(text, "h")
	half := -1
	for i, suffix := range []string{"am", "pm", "a.m.", "p.m."} {
		if strings.HasSuffix(text, suffix) {
			text, half = strings.TrimSuffix(text, suffix), i%2
			break
		}
	}
	n, _, ok := numbersOf(text)
	if !ok || len(n) < 2 || len(n) > 3 {
		return 0, false
	}
	seconds := 0
	if len(n) == 3 {
		seconds = n[2]
	}
	hour := n[0]
	if half >= 0 {
		if hour < 1 || hour > 12 {
			return 0, false
		}
		hour = hour%12 + 12*half
	}
	if hour > 23 || n[1] > 59 || seconds > 59 {
		return 0, false
	}
	return time.Duration(hour)*time.Hour + time.Duration(n[1])*time.Minute + time.Duration(seconds)*time.Second, true
}

// readCount reads a whole number: 60, 60.0, and with a mark between thousands.
// Decimal is the mark of decimals, a point or a comma.
func readCount(text string, decimal rune) (int, bool) {
	thousands := ','
	if decimal == ',' {
		thousands = '.'
	}
	whole, part, _ := strings.Cut(text, string(decimal))
	if strings.Trim(part, "0") != "" {
		return 0, false
	}
	groups := strings.FieldsFunc(whole, func(r rune) bool { return r == thousands || unicode.IsSpace(r) })
	for i, group := range groups {
		if i > 0 && len(group) != 3 || len(groups) > 1 && len(group) > 3 {
			return 0, false
		}
	}
	digits := strings.Join(groups, "")
	if digits == "" || len(digits) > 7 || strings.Trim(digits, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.Atoi(digits)
	return n, err == nil
}

// readPercent reads 12, 12.5 or 12,5 %, whatever the mark.
func readPercent(text string) (float64, bool) {
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%"))
	p, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	return p, err == nil && p >= 0 && p <= 100
}

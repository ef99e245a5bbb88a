package api

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"benchtrail/domain"
)

// byteOrderMark tells spreadsheets that a table is UTF-8; some take it for the
// machine's own code page without.
const byteOrderMark = "\ufeff"

// oneWordAndNumber is what a spreadsheet may take for a day of a month, in whatever
// language it speaks: Mar 5, sept-10.
var oneWordAndNumber = regexp.MustCompile(`^\p{L}{3,}[\s.,/-]*\d[\d\s.,/:-]*$`)

// longestLiteral is the longest text that a formula may hold, in UTF-16.
const longestLiteral = 255

// textCell writes text of people so that a spreadsheet shows it as it is. 07-01
// would become the 7th of January and 0012 twelve, and what begins with = + - or @
// would be worked out, also to harm whoever opens it. Such text is written as a
// formula that is nothing but that text, ="07-01", which is read back the same
// (an apostrophe would stay in the cell, and a tab would be in the way of a search).
func textCell(text string) string {
	text = strings.TrimSpace(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, text))
	first, _ := utf8.DecodeRuneInString(text)
	switch {
	case text == "", unicode.IsLetter(first) && !oneWordAndNumber.MatchString(text):
		return text
	case len(utf16.Encode([]rune(text))) > longestLiteral:
		return "'" + text
	}
	return `="` + strings.ReplaceAll(text, `"`, `""`) + `"`
}

func numberCell(n int) string { return strconv.Itoa(n) }

// dateCell writes a date in the one form that every spreadsheet reads as that date.
func dateCell(d domain.Date) string {
	if d.IsZero() {
		return ""
	}
	return d.String()
}

func yesCell(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

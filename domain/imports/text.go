package imports

import (
	"bytes"
	"errors"
	"strings"
	"unicode/utf8"
)

// Encoding is how the letters of a file are written as bytes.
type Encoding string

// The encodings. The empty Encoding is found out: UTF-8 where the bytes are that,
// else Windows-1252, which spreadsheets in the West wrote for decades.
const (
	UTF8        Encoding = "utf-8"
	Windows1252 Encoding = "windows-1252"
)

// What cannot be read as text at all.
var (
	ErrNotText = errors.New("the file holds no text: save the sheet as CSV")
	ErrNotUTF8 = errors.New("the file is not UTF-8")
)

const byteOrderMark = "\ufeff"

// TextOf reads the bytes of a file as text without its byte order mark, and says in
// which encoding. ErrNotText for a workbook or anything else with zero bytes.
func TextOf(content []byte, encoding Encoding) (string, Encoding, error) {
	if bytes.IndexByte(content, 0) >= 0 || bytes.HasPrefix(content, []byte("PK\x03\x04")) {
		return "", encoding, ErrNotText
	}
	valid := utf8.Valid(content)
	if encoding == "" {
		encoding = UTF8
		if !valid {
			encoding = Windows1252
		}
	}
	switch {
	case encoding == Windows1252:
		return fromWindows1252(content), encoding, nil
	case !valid:
		return "", encoding, ErrNotUTF8
	}
	return strings.TrimPrefix(string(content), byteOrderMark), encoding, nil
}

// windows1252 has the letters of 0x80 to 0x9F, where Windows-1252 differs from
// Latin-1 (WHATWG Encoding Standard, index windows-1252).
const windows1252 = "€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ"

func fromWindows1252(content []byte) string {
	special := []rune(windows1252)
	var text strings.Builder
	text.Grow(len(content) + len(content)/8)
	for _, b := range content {
		switch {
		case b >= 0x80 && b <= 0x9f:
			text.WriteRune(special[b-0x80])
		default:
			text.WriteRune(rune(b))
		}
	}
	return text.String()
}

package domain

import (
	"encoding/hex"
	"errors"
	"io"
	"time"
)

// ID names a record. It is made by whoever makes the record, usually a phone,
// so that a record sent twice is still one record. The zero ID means "none".
type ID [16]byte

// ErrID is returned for text that is not a UUID, or the UUID of all zeros.
var ErrID = errors.New("not a UUID")

// NewID makes a UUIDv7 (RFC 9562, section 5.7) for the moment at, with the
// random bits read from entropy. Ids of later moments sort after earlier ones.
func NewID(at time.Time, entropy io.Reader) (ID, error) {
	var id ID
	if _, err := io.ReadFull(entropy, id[6:]); err != nil {
		return ID{}, err
	}
	ms := uint64(at.UnixMilli()) //nolint:gosec // a moment before 1970 has no use here
	for i := range 6 {
		id[i] = byte(ms >> (40 - 8*i)) //nolint:gosec // takes one byte of the 48
	}
	id[6] = id[6]&0x0f | 0x70
	id[8] = id[8]&0x3f | 0x80
	return id, nil
}

// ParseID reads the 36-character form of a UUID, in either case. The UUID of all
// zeros is refused: it would name nothing.
func ParseID(s string) (ID, error) {
	var id ID
	if len(s) != 36 || s[8] != '-' || s[13] != '-' || s[18] != '-' || s[23] != '-' {
		return ID{}, ErrID
	}
	digits := s[0:8] + s[9:13] + s[14:18] + s[19:23] + s[24:]
	if _, err := hex.Decode(id[:], []byte(digits)); err != nil || id.IsZero() {
		return ID{}, ErrID
	}
	return id, nil
}

// IsZero reports whether the ID names nothing.
func (id ID) IsZero() bool { return id == ID{} }

// String gives the 36-character form, and nothing for the zero ID.
func (id ID) String() string {
	if id.IsZero() {
		return ""
	}
	var b [36]byte
	hex.Encode(b[0:8], id[0:4])
	hex.Encode(b[9:13], id[4:6])
	hex.Encode(b[14:18], id[6:8])
	hex.Encode(b[19:23], id[8:10])
	hex.Encode(b[24:], id[10:])
	b[8], b[13], b[18], b[23] = '-', '-', '-', '-'
	return string(b[:])
}

// MarshalText gives the same as String.
func (id ID) MarshalText() ([]byte, error) { return []byte(id.String()), nil }

// UnmarshalText reads the 36-character form; empty text gives the zero ID.
func (id *ID) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*id = ID{}
		return nil
	}
	parsed, err := ParseID(string(text))
	if err != nil {
		return err
	}
	*id = parsed
	return nil
}

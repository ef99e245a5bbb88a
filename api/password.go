package api

import (
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"strings"

	"golang.org/x/crypto/argon2"

	"benchtrail/domain"
)

// Argon2id with 19 MiB, two passes and one lane: the first choice of the OWASP
// Password Storage Cheat Sheet (read 2024), small enough for a small server.
const (
	argonTime    = 2
	argonMemory  = 19 * 1024 // KiB
	argonThreads = 1
	argonKey     = 32
	argonSalt    = 16
)

var errHash = errors.New("not a password hash of ours")

// HashPassword gives the Argon2id hash of a password in the PHC string format.
func HashPassword(password string, entropy io.Reader) (string, error) {
	salt := make([]byte, argonSalt)
	if _, err := io.ReadFull(entropy, salt); err != nil {
		return "", fmt.Errorf("make a salt: %w", err)
	}
	key := argon2.IDKey([]byte(password), salt, argonTime, argonMemory, argonThreads, argonKey)
	b64 := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, argonMemory, argonTime, argonThreads,
		b64.EncodeToString(salt), b64.EncodeToString(key)), nil
}

// fingerprint tells one password of a person from another when a PUT is
// repeated. It costs as much to guess from as the hash does.
func fingerprint(password string, person domain.ID) []byte {
	return argon2.IDKey([]byte(password), person[:], argonTime, argonMemory, argonThreads, argonKey)
}

// checkPassword reports whether the password belongs to the hash. The costs are
// read from the hash, so that they can be raised later; they are bounded, so
// that a hash cannot make the server work without end.
func checkPassword(password, hash string) (bool, error) {
	parts := strings.Split(hash, "$")
	if len(parts) != 6 || parts[1] != "argon2id" {
		return false, errHash
	}
	var version int
	var memory, time uint32
	var threads uint8
	if _, err := fmt.Sscanf(parts[2], "v=%d", &version); err != nil || version != argon2.Version {
		return false, errHash
	}
	if _, err := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &memory, &time, &threads); err != nil {
		return false, errHash
	}
	if memory > 256*1024 || time < 1 || time > 16 || threads < 1 || threads > 16 {
		return false, errHash
	}
	salt, err := base64.RawStdEncoding.DecodeString(parts[4])
	if err != nil {
		return false, errHash
	}
	want, err := base64.RawStdEncoding.DecodeString(parts[5])
	if err != nil || len(want) != argonKey {
		return false, errHash
	}
	got := argon2.IDKey([]byte(password), salt, time, memory, threads, argonKey)
	return subtle.ConstantTimeCompare(got, want) == 1, nil
}

// Package picture turns what a camera made into what is stored: upright, of a
// modest size, and with nothing in it but what is seen.
package picture

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	_ "image/png" // what image.Decode reads
	"slices"

	_ "golang.org/x/image/webp" // what image.Decode reads
)

// The longer sides, in pixels, of what is stored. A whitefly that fills the palm
// of a lens can still be told at the larger one.
const (
	LongestFull  = 1600
	LongestSmall = 320
)

// MostPixels is the largest picture read, and what bounds the memory it takes.
const MostPixels = 40_000_000

const quality = 85

// ErrTooLarge says that a picture has more than MostPixels.
var ErrTooLarge = errors.New("the picture has too many pixels")

// ErrUnreadable says that the bytes are no whole picture of a kind that is read.
var ErrUnreadable = errors.New("not a picture that can be read")

// Picture is what is stored, both as JPEG.
type Picture struct {
	Width, Height int // of Full
	Full, Small   []byte
}

// Read decodes a JPEG, PNG or WebP and makes what is stored of it.
func Read(raw []byte) (Picture, error) {
	size, kind, err := image.DecodeConfig(bytes.NewReader(raw))
	switch {
	case err != nil:
		return Picture{}, fmt.Errorf("%w: %w", ErrUnreadable, err)
	case !slices.Contains([]string{"jpeg", "png", "webp"}, kind), size.Width < 1, size.Height < 1:
		return Picture{}, fmt.Errorf("%w: a %s of %d × %d", ErrUnreadable, kind, size.Width, size.Height)
	case size.Width > MostPixels/size.Height:
		return Picture{}, fmt.Errorf("%w: %d × %d", ErrTooLarge, size.Width, size.Height)
	}
	whole, _, err := image.Decode(bytes.NewReader(raw))
	if err != nil {
		return Picture{}, fmt.Errorf("%w: %w", ErrUnreadable, err)
	}
	full := upright(shrink(whole, LongestFull), orientation(raw))
	p := Picture{Width: full.Rect.Dx(), Height: full.Rect.Dy()}
	if p.Full, err = encode(full); err != nil {
		return Picture{}, err
	}
	p.Small, err = encode(shrink(full, LongestSmall))
	return p, err
}

func encode(m image.Image) ([]byte, error) {
	var out bytes.Buffer
	if err := jpeg.Encode(&out, m, &jpeg.Options{Quality: quality}); err != nil {
		return nil, fmt.Errorf("write the picture: %w", err)
	}
	return out.Bytes(), nil
}

package api

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"mime"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/picture"
	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

const (
	mostPicture     = 8 << 20
	atOnce          = 2                // pictures read at a time: each takes a core and some hundred megabytes
	longestInQueue  = 10 * time.Second // for a place; a phone then tries again later
	picturesAreKept = "private, max-age=86400"
)

// isPicture tells pictures, which are packed already.
func isPicture(c echo.Context) bool { return strings.HasSuffix(c.Path(), "/picture") }

// PutPhotoPicture implements PUT /photos/{id}/picture.
func (s *server) PutPhotoPicture(c echo.Context, id domain.ID) error {
	ctx, a := c.Request().Context(), actorOf(c)
	if !daily(a) {
		return errForbidden
	}
	kind, _, err := mime.ParseMediaType(c.Request().Header.Get(echo.HeaderContentType))
	if err != nil || !slices.Contains([]string{"image/jpeg", "image/png", "image/webp"}, kind) {
		return errPictureType
	}
	photo, err := s.Store.Photo(ctx, a, id)
	if err != nil {
		return err
	}
	raw, err := readAll(c, mostPicture)
	if err != nil {
		return err
	}
	hash := sha256.Sum256(raw)
	if there := photo.Value.Picture; !there.StoredAt.IsZero() { // worth no second reading
		if !bytes.Equal(there.ReceivedHash, hash[:]) {
			return store.ErrPicture
		}
		return pictureStored(c, store.Saved[stock.Photo]{Record: photo})
	}
	p, err := s.readPicture(ctx, raw)
	if err != nil {
		return err
	}
	saved, err := s.Store.PutPicture(ctx, a, id, store.Image{Width: p.Width, Height: p.Height, Full: p.Full, Small: p.Small, ReceivedHash: hash[:]})
	if err != nil {
		return err
	}
	return pictureStored(c, saved)
}

func pictureStored(c echo.Context, saved store.Saved[stock.Photo]) error {
	status := http.StatusOK
	if saved.Created {
		status = http.StatusCreated
	}
	return reply(c, answer{status, saved.Version, photoToWire(saved.Record)})
}

func (s *server) readPicture(ctx context.Context, raw []byte) (picture.Picture, error) {
	waiting, cancel := context.WithTimeout(ctx, longestInQueue)
	defer cancel()
	select {
	case s.pictures <- struct{}{}:
		defer func() { <-s.pictures }()
	case <-waiting.Done():
		return picture.Picture{}, fmt.Errorf("wait to read a picture: %w", waiting.Err())
	}
	return picture.Read(raw)
}

// GetPhotoPicture implements GET /photos/{id}/picture. A picture never changes, so
// a browser may keep it, for whoever is signed in with the same cookie.
func (s *server) GetPhotoPicture(c echo.Context, id domain.ID, p wire.GetPhotoPictureParams) error {
	ctx, a := c.Request().Context(), actorOf(c)
	photo, err := s.Store.Photo(ctx, a, id)
	if err != nil {
		return err
	}
	if photo.Value.Picture.StoredAt.IsZero() {
		return store.ErrNotFound
	}
	size := orDefault(p.Size, wire.Full)
	tag := fmt.Sprintf(`"%x-%s"`, photo.Value.Picture.ReceivedHash[:8], size)
	h := c.Response().Header()
	h.Set("ETag", tag)
	h.Set(echo.HeaderCacheControl, picturesAreKept)
	h.Add(echo.HeaderVary, "Cookie, Authorization")
	// What somebody sent in is shown as a picture and as nothing else.
	h.Set(echo.HeaderContentSecurityPolicy, "sandbox; default-src 'none'")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	if c.Request().Header.Get("If-None-Match") == tag {
		return c.NoContent(http.StatusNotModified)
	}
	text, err := s.Store.Picture(ctx, a, id, size == wire.Small)
	if err != nil {
		return err
	}
	h.Set(echo.HeaderContentDisposition, fmt.Sprintf(`inline; filename="photo-%s.jpg"`, id))
	return c.Blob(http.StatusOK, "image/jpeg", text)
}

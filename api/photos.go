package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func photoFromWire(id domain.ID, b wire.PhotoBody) stock.Photo {
	return stock.Photo{
		ID: id, Subject: stock.Subject(b.SubjectNoun), SubjectID: b.SubjectID, Plant: b.Plant, TakenAt: b.TakenAt, Of: string(b.What),
		Note: b.Note, Withdrawn: b.WithdrawnBecause,
	}
}

func photoToWire(r store.Record[stock.Photo]) wire.Photo {
	x := r.Value
	return wire.Photo{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		SubjectNoun: wire.PhotoSubjectNoun(x.Subject), SubjectID: x.SubjectID, Plant: x.Plant, TakenAt: x.TakenAt, What: wire.PhotoOf(x.Of),
		Note: x.Note, WithdrawnBecause: x.Withdrawn, SiteID: x.SiteID,
		Picture: wire.PhotoPicture{Width: x.Picture.Width, Height: x.Picture.Height, Bytes: x.Picture.Bytes, StoredAt: x.Picture.StoredAt},
	}
}

func (s *server) photos() writer {
	return writerOf(s, daily, photoFromWire, s.Store.PutPhoto, photoToWire)
}

// PutPhoto implements PUT /photos/{id}.
func (s *server) PutPhoto(c echo.Context, id domain.ID, p wire.PutPhotoParams) error {
	return s.put(c, s.photos(), id, p.IfMatch)
}

// GetPhoto implements GET /photos/{id}.
func (s *server) GetPhoto(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Photo, photoToWire)
}

// ListPhotos implements GET /photos.
func (s *server) ListPhotos(c echo.Context, p wire.ListPhotosParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[stock.Photo], error) {
		return s.Store.Photos(ctx, a, page, p.SiteID, p.SubjectID, p.ShipmentID)
	}
	return list(c, p.Limit, p.After, read, photoToWire)
}

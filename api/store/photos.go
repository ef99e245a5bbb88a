package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// ErrPicture says that the photo has another picture already.
var ErrPicture = errors.New("the photo has another picture")

func photoTable() table[stock.Photo] {
	return table[stock.Photo]{
		name: "photo",
		columns: `t.id, t.subject_noun, t.subject_id, coalesce(t.plant, 0), t.taken_at, t.what, t.note, t.withdrawn_because, t.site_id,
			coalesce(p.width, 0), coalesce(p.height, 0), coalesce(octet_length(p.full_jpeg), 0), p.stored_at, p.received_hash`,
		joins: `left join photo_picture p on p.organisation_id = t.organisation_id and p.photo_id = t.id`,
		fields: func(x *stock.Photo) []any {
			return []any{
				&x.ID, &x.Subject, &x.SubjectID, &x.Plant, &x.TakenAt, &x.Of, &x.Note, &x.Withdrawn, &x.SiteID,
				&x.Picture.Width, &x.Picture.Height, &x.Picture.Bytes, &x.Picture.StoredAt, &x.Picture.ReceivedHash,
			}
		},
	}
}

// PutPhoto stores the record of a photo; its picture comes by itself.
func (s *Store) PutPhoto(ctx context.Context, a Actor, p Put, x stock.Photo) (Saved[stock.Photo], error) {
	return save(ctx, s, a, p, photoTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		tables := map[stock.Subject]string{
			stock.LookSubject: "look", stock.InspectionSubject: "inspection", stock.ShipmentSubject: "shipment", stock.LotSubject: "lot",
		}
		var site domain.ID
		subject := `select site_id from ` + tables[x.Subject] + ` where organisation_id = $1 and id = $2 for share`
		if err := tx.QueryRow(ctx, subject, st.org, x.SubjectID).Scan(&site); err != nil {
			return site, missing(err, "subject")
		}
		err := upsert(ctx, tx, st, "photo", `site_id, subject_noun, subject_id, plant, taken_at, what, note, withdrawn_because`,
			site, x.Subject, x.SubjectID, orNull(x.Plant), x.TakenAt, x.Of, x.Note, x.Withdrawn)
		if err != nil {
			return site, err
		}
		const follow = `update photo_picture set site_id = $3 where organisation_id = $1 and photo_id = $2 and site_id <> $3`
		if _, err := tx.Exec(ctx, follow, st.org, st.id, site); err != nil {
			return site, fmt.Errorf("let the picture follow: %w", err)
		}
		return site, nil
	})
}

// movePhotos lets photos be seen where what they show is seen now: the records
// given and the inspections of those of them that are lots.
func movePhotos(ctx context.Context, tx pgx.Tx, org, site domain.ID, subjects ...domain.ID) error {
	const q = `with moved as (update photo set site_id = $2 where organisation_id = $1 and site_id <> $2 and (subject_id = any($3)
				or subject_id in (select id from inspection where organisation_id = $1 and lot_id = any($3))) returning id),
			pictures as (update photo_picture set site_id = $2 where organisation_id = $1 and photo_id in (select id from moved))
		update revision set site_id = $2 where organisation_id = $1 and record_id in (select id from moved)`
	if _, err := tx.Exec(ctx, q, org, site, subjects); err != nil {
		return fmt.Errorf("let the photos follow: %w", err)
	}
	return nil
}

// Photo reads the record of a photo.
func (s *Store) Photo(ctx context.Context, a Actor, id domain.ID) (Record[stock.Photo], error) {
	return get(ctx, s, a, photoTable(), id)
}

// Photos lists photos, of one site or subject unless they are zero, or of all that
// came with a shipment: itself, its lots and those split off them, their inspections.
func (s *Store) Photos(ctx context.Context, a Actor, page Page, site, subject, shipment domain.ID) (List[stock.Photo], error) {
	const came = `with lots as (select id from lot where organisation_id = $1 and $6 in (shipment_id, origin_id))
		select $6 union all select id from lots
		union all select id from inspection where organisation_id = $1 and lot_id in (select id from lots)`
	return list(ctx, s, a, photoTable(), page,
		`and ($4::uuid is null or t.site_id = $4) and ($5::uuid is null or t.subject_id = $5)
			and ($6::uuid is null or t.subject_id in (`+came+`))`, site, subject, shipment)
}

// Image is a picture to be stored.
type Image struct {
	Width, Height int // of Full
	Full, Small   []byte
	ReceivedHash  []byte // of the bytes as they were sent
}

// PutPicture stores the picture of a photo once: the same again changes nothing,
// another one is ErrPicture.
func (s *Store) PutPicture(ctx context.Context, a Actor, id domain.ID, m Image) (Saved[stock.Photo], error) {
	var saved Saved[stock.Photo]
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		if err := lockRecord(ctx, tx, a.OrganisationID, id); err != nil {
			return err
		}
		var err error
		if saved.Record, err = photoTable().one(ctx, tx, a.OrganisationID, id); err != nil {
			return err
		}
		if there := saved.Value.Picture; !there.StoredAt.IsZero() {
			if !bytes.Equal(there.ReceivedHash, m.ReceivedHash) {
				return fmt.Errorf("photo %s: %w", id, ErrPicture)
			}
			return nil
		}
		const q = `insert into photo_picture (organisation_id, photo_id, site_id, received_hash, width, height, full_jpeg, small_jpeg, stored_at, stored_by)
			values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`
		_, err = tx.Exec(ctx, q, a.OrganisationID, id, saved.Value.SiteID, m.ReceivedHash, m.Width, m.Height, m.Full, m.Small, s.clock(), a.PersonID)
		if err != nil {
			return fmt.Errorf("store the picture: %w", err)
		}
		saved.Created = true
		saved.Record, err = photoTable().one(ctx, tx, a.OrganisationID, id)
		return err
	})
	return saved, err
}

// Picture reads the picture of a photo, full or small, as a JPEG.
func (s *Store) Picture(ctx context.Context, a Actor, id domain.ID, small bool) ([]byte, error) {
	column := "full_jpeg"
	if small {
		column = "small_jpeg"
	}
	var text []byte
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		return tx.QueryRow(ctx, `select `+column+` from photo_picture where organisation_id = $1 and photo_id = $2`, a.OrganisationID, id).Scan(&text)
	})
	return text, err
}

package store

import (
	"context"
	"encoding/json"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/imports"
	"benchtrail/domain/place"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
)

func importTable() table[imports.Import] {
	return table[imports.Import]{
		name:    "import",
		columns: `t.id, t.site_id, t.file_name, t.file_hash, t.lines, t.looks, t.made, t.first_on, t.last_on, t.withdrawn_because`,
		fields: func(x *imports.Import) []any {
			return []any{&x.ID, &x.SiteID, &x.FileName, &x.FileHash, &x.Lines, &x.Looks, &x.Made, &x.FirstOn, &x.LastOn, &x.Withdrawn}
		},
	}
}

// ContentOf gives the body of a PUT that would have stored a look.
type ContentOf func(scouting.Look) ([]byte, error)

// PutImport stores an import with all its looks, or none of them. A correction can
// only withdraw it, and withdraws its looks.
func (s *Store) PutImport(ctx context.Context, a Actor, p Put, x imports.Import, read imports.Reading, content ContentOf) (Saved[imports.Import], error) {
	return save(ctx, s, a, p, importTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		if st.version > 1 {
			return withdrawImport(ctx, tx, st, x)
		}
		x := x // the transaction may be tried again
		if _, err := siteZone(ctx, tx, st.org, x.SiteID); err != nil {
			return x.SiteID, err
		}
		x.Lines, x.Looks, x.Made = read.Lines, len(read.Looks), read.Making.Count()
		for _, look := range read.Looks {
			if x.FirstOn.IsZero() || look.LookedOn.Before(x.FirstOn) {
				x.FirstOn = look.LookedOn
			}
			if look.LookedOn.After(x.LastOn) {
				x.LastOn = look.LookedOn
			}
		}
		err := upsert(ctx, tx, st, "import", "site_id, file_name, file_hash, lines, looks, made, first_on, last_on, withdrawn_because",
			x.SiteID, x.FileName, x.FileHash, x.Lines, x.Looks, x.Made, x.FirstOn, x.LastOn, x.Withdrawn)
		if err != nil {
			return x.SiteID, err
		}
		if err := makeNames(ctx, tx, st, read.Making); err != nil {
			return x.SiteID, err
		}
		return x.SiteID, keepLooks(ctx, tx, st, x, read.Looks, content)
	})
}

// makeNames makes what the person asked for, each with a revision of its own.
func makeNames(ctx context.Context, tx pgx.Tx, st stamp, m imports.Making) error {
	content, err := json.Marshal(map[string]any{"made_with_import": st.id})
	if err != nil {
		return fmt.Errorf("say where it came from: %w", err)
	}
	keep := func(noun string, id, site domain.ID, columns string, values ...any) error {
		own := stamp{st.org, id, 1, st.at, st.by}
		if err := upsert(ctx, tx, own, noun, columns, values...); err != nil {
			return err
		}
		return keepRevision(ctx, tx, own, Put{ID: id, Content: content}, noun, site)
	}
	for _, x := range m.Houses {
		if err := keep("house", x.ID, x.SiteID, "site_id, name, area_m2", x.SiteID, x.Name, x.AreaM2); err != nil {
			return err
		}
	}
	for _, x := range m.Blocks {
		if err := keep("block", x.ID, x.SiteID, "site_id, house_id, name, position", x.SiteID, x.HouseID, x.Name, x.Position); err != nil {
			return err
		}
	}
	for _, x := range m.Suppliers {
		if err := keep("supplier", x.ID, domain.ID{}, "name, claim_hours", x.Name, x.ClaimHours); err != nil {
			return err
		}
	}
	for _, x := range m.Cultivars {
		if err := keep("cultivar", x.ID, domain.ID{}, "crop_id, name, foliage", x.CropID, x.Name, x.Foliage); err != nil {
			return err
		}
	}
	for _, x := range m.Shipments {
		if err := keep("shipment", x.ID, x.SiteID, "site_id, supplier_id, expected_on, arrived_on", x.SiteID, x.SupplierID, x.ExpectedOn, x.ExpectedOn); err != nil {
			return err
		}
	}
	var lots []domain.ID
	for _, x := range m.Lots {
		if err := lockBook(ctx, tx, x.SiteID); err != nil {
			return err
		}
		const ofCultivar = `select crop_id from cultivar where organisation_id = $1 and id = $2`
		if err := tx.QueryRow(ctx, ofCultivar, st.org, x.CultivarID).Scan(&x.CropID); err != nil {
			return missing(err, "cultivar")
		}
		own := stamp{st.org, x.ID, 1, st.at, st.by}
		if x.SeasonID, err = seasonFor(ctx, tx, own, x.CropID, x.ArrivedOn); err != nil {
			return err
		}
		given := x.Code != ""
		if !given {
			if x.Code, err = lotCode(ctx, tx, own, x); err != nil {
				return err
			}
		}
		err := keep("lot", x.ID, x.SiteID, `site_id, shipment_id, cultivar_id, season_id, code, code_given, form, plants, plants_on_hand, origin_id,
				supplier_id, arrived_on, import_id`,
			x.SiteID, x.ShipmentID, x.CultivarID, x.SeasonID, x.Code, given, x.Form, x.Plants, x.Plants, x.ShipmentID, x.SupplierID, x.ArrivedOn, st.id)
		if err != nil {
			return err
		}
		lots = append(lots, x.ID)
	}
	if len(lots) == 0 {
		return nil
	}
	return rebookLots(ctx, tx, st.org, lots...)
}

// Import reads an import.
func (s *Store) Import(ctx context.Context, a Actor, id domain.ID) (Record[imports.Import], error) {
	return get(ctx, s, a, importTable(), id)
}

// Imports lists the imports, of one site unless it is zero.
func (s *Store) Imports(ctx context.Context, a Actor, page Page, site domain.ID) (List[imports.Import], error) {
	return list(ctx, s, a, importTable(), page, `and ($4::uuid is null or t.site_id = $4)`, site)
}

// ForImport is what the names of a file are looked up in at a site.
type ForImport struct {
	Known imports.Known
	Site  place.Site
	Last  map[domain.ID]int        // the last position in each house
	Same  []Record[imports.Import] // imports of the same file that stand
	Crops []Record[stock.Crop]     // of cultivars that are made
}

// ForImport reads the names that a file for a site may use, and whether it was
// imported before.
func (s *Store) ForImport(ctx context.Context, a Actor, site domain.ID, fileHash []byte) (ForImport, error) {
	var f ForImport
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		f = ForImport{Last: map[domain.ID]int{}}
		org := a.OrganisationID
		at, err := siteTable().one(ctx, tx, org, site)
		if err != nil {
			return missing(err, "site")
		}
		f.Site = at.Value
		k := &f.Known
		if k.Houses, err = values(all(ctx, tx, org, houseTable(), `and t.site_id = $2 order by t.id`, site)); err != nil {
			return err
		}
		if k.Blocks, err = values(all(ctx, tx, org, blockTable(), `and t.site_id = $2 order by t.id`, site)); err != nil {
			return err
		}
		for _, b := range k.Blocks {
			f.Last[b.HouseID] = max(f.Last[b.HouseID], b.Position)
		}
		if k.Lots, err = values(all(ctx, tx, org, lotTable(), `and t.site_id = $2 and t.withdrawn_because = '' order by t.id`, site)); err != nil {
			return err
		}
		if k.Cultivars, err = values(all(ctx, tx, org, cultivarTable(), `order by t.id`)); err != nil {
			return err
		}
		if k.Suppliers, err = values(all(ctx, tx, org, supplierTable(), `order by t.id`)); err != nil {
			return err
		}
		if k.Organisms, err = values(all(ctx, tx, org, organismTable(), `order by t.id`)); err != nil {
			return err
		}
		if f.Crops, err = all(ctx, tx, org, cropTable(), `order by t.id`); err != nil {
			return err
		}
		if f.Same, err = all(ctx, tx, org, importTable(), `and t.site_id = $2 and t.file_hash = $3 and t.withdrawn_because = '' order by t.id`, site, fileHash); err != nil {
			return err
		}
		rows, err := tx.Query(ctx, `select p.id, p.name from membership m join person p on p.id = m.person_id where m.organisation_id = $1`, org)
		if err != nil {
			return fmt.Errorf("read who may have looked: %w", err)
		}
		k.People, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (imports.Person, error) {
			var p imports.Person
			return p, row.Scan(&p.ID, &p.Name)
		})
		return err
	})
	return f, err
}

// values gives the values of records.
func values[T any](records []Record[T], err error) ([]T, error) {
	out := make([]T, len(records))
	for i, r := range records {
		out[i] = r.Value
	}
	return out, err
}

package store

import (
	"context"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func supplierTable() table[stock.Supplier] {
	return table[stock.Supplier]{
		name: "supplier", columns: `t.id, t.name, t.country, t.claim_hours, t.note`,
		fields: func(x *stock.Supplier) []any { return []any{&x.ID, &x.Name, &x.Country, &x.ClaimHours, &x.Note} },
	}
}

// PutSupplier stores a supplier.
func (s *Store) PutSupplier(ctx context.Context, a Actor, p Put, x stock.Supplier) (Saved[stock.Supplier], error) {
	return save(ctx, s, a, p, supplierTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		return domain.ID{}, upsert(ctx, tx, st, "supplier", "name, country, claim_hours, note", x.Name, x.Country, x.ClaimHours, x.Note)
	})
}

// Supplier reads a supplier.
func (s *Store) Supplier(ctx context.Context, a Actor, id domain.ID) (Record[stock.Supplier], error) {
	return get(ctx, s, a, supplierTable(), id)
}

// Suppliers lists the suppliers.
func (s *Store) Suppliers(ctx context.Context, a Actor, page Page) (List[stock.Supplier], error) {
	return list(ctx, s, a, supplierTable(), page, "")
}

func farmTable() table[stock.Farm] {
	return table[stock.Farm]{
		name: "farm", columns: `t.id, t.supplier_id, t.name, t.country`,
		fields: func(x *stock.Farm) []any { return []any{&x.ID, &x.SupplierID, &x.Name, &x.Country} },
	}
}

// PutFarm stores a farm.
func (s *Store) PutFarm(ctx context.Context, a Actor, p Put, x stock.Farm) (Saved[stock.Farm], error) {
	return save(ctx, s, a, p, farmTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		return domain.ID{}, upsert(ctx, tx, st, "farm", "supplier_id, name, country", x.SupplierID, x.Name, x.Country)
	})
}

// Farm reads a farm.
func (s *Store) Farm(ctx context.Context, a Actor, id domain.ID) (Record[stock.Farm], error) {
	return get(ctx, s, a, farmTable(), id)
}

// Farms lists the farms, of one supplier unless it is zero.
func (s *Store) Farms(ctx context.Context, a Actor, page Page, supplier domain.ID) (List[stock.Farm], error) {
	return list(ctx, s, a, farmTable(), page, `and ($4::uuid is null or t.supplier_id = $4)`, supplier)
}

func organismTable() table[stock.Organism] {
	return table[stock.Organism]{
		name: "organism",
		columns: `t.id, t.scientific_name, t.common_name, t.common_name_es, t.eppo_code, t.kind, t.where_to_look,
			t.where_to_look_es, t.regulated_note, t.regulated_note_es, t.infested_stages`,
		fields: func(x *stock.Organism) []any {
			return []any{
				&x.ID, &x.ScientificName, &x.CommonName, &x.CommonNameES, &x.EPPOCode, &x.Kind, &x.WhereToLook,
				&x.WhereToLookES, &x.RegulatedNote, &x.RegulatedNoteES, &x.InfestedStages,
			}
		},
	}
}

// Organism reads an organism.
func (s *Store) Organism(ctx context.Context, a Actor, id domain.ID) (Record[stock.Organism], error) {
	return get(ctx, s, a, organismTable(), id)
}

// Organisms lists the organisms.
func (s *Store) Organisms(ctx context.Context, a Actor, page Page) (List[stock.Organism], error) {
	return list(ctx, s, a, organismTable(), page, "")
}

func cropTable() table[stock.Crop] {
	return table[stock.Crop]{
		name: "crop", columns: `t.id, t.name, t.eppo_code, t.main_organism_id, t.second_look_from_days, t.second_look_to_days`,
		fields: func(x *stock.Crop) []any {
			return []any{&x.ID, &x.Name, &x.EPPOCode, &x.MainOrganismID, &x.SecondLookFromDays, &x.SecondLookToDays}
		},
	}
}

// PutCrop stores a crop.
func (s *Store) PutCrop(ctx context.Context, a Actor, p Put, x stock.Crop) (Saved[stock.Crop], error) {
	return save(ctx, s, a, p, cropTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		return domain.ID{}, upsert(ctx, tx, st, "crop", "name, eppo_code, main_organism_id, second_look_from_days, second_look_to_days",
			x.Name, x.EPPOCode, x.MainOrganismID, x.SecondLookFromDays, x.SecondLookToDays)
	})
}

// Crop reads a crop.
func (s *Store) Crop(ctx context.Context, a Actor, id domain.ID) (Record[stock.Crop], error) {
	return get(ctx, s, a, cropTable(), id)
}

// Crops lists the crops.
func (s *Store) Crops(ctx context.Context, a Actor, page Page) (List[stock.Crop], error) {
	return list(ctx, s, a, cropTable(), page, "")
}

func cultivarTable() table[stock.Cultivar] {
	return table[stock.Cultivar]{
		name: "cultivar", columns: `t.id, t.crop_id, t.name, t.foliage, t.bract_colour, t.gtin`,
		fields: func(x *stock.Cultivar) []any {
			return []any{&x.ID, &x.CropID, &x.Name, &x.Foliage, &x.BractColour, &x.GTIN}
		},
	}
}

// PutCultivar stores a cultivar.
func (s *Store) PutCultivar(ctx context.Context, a Actor, p Put, x stock.Cultivar) (Saved[stock.Cultivar], error) {
	return save(ctx, s, a, p, cultivarTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		return domain.ID{}, upsert(ctx, tx, st, "cultivar", "crop_id, name, foliage, bract_colour, gtin", x.CropID, x.Name, x.Foliage, x.BractColour, x.GTIN)
	})
}

// Cultivar reads a cultivar.
func (s *Store) Cultivar(ctx context.Context, a Actor, id domain.ID) (Record[stock.Cultivar], error) {
	return get(ctx, s, a, cultivarTable(), id)
}

// Cultivars lists the cultivars, of one crop unless it is zero.
func (s *Store) Cultivars(ctx context.Context, a Actor, page Page, crop domain.ID) (List[stock.Cultivar], error) {
	return list(ctx, s, a, cultivarTable(), page, `and ($4::uuid is null or t.crop_id = $4)`, crop)
}

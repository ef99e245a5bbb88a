package imports

import (
	"cmp"
	"slices"
	"strings"

	"benchtrail/domain"
	"benchtrail/domain/place"
	"benchtrail/domain/stock"
)

// Person is somebody who may have looked.
type Person struct {
	ID   domain.ID
	Name string
}

// Known is what the names of a file are looked up in: those of one site.
type Known struct {
	Houses    []place.House
	Blocks    []place.Block
	Lots      []stock.Lot // of this site, not withdrawn
	Cultivars []stock.Cultivar
	Suppliers []stock.Supplier
	Organisms []stock.Organism
	People    []Person
}

// Alias says which of ours a name of the file is.
type Alias struct {
	Kind Kind
	Name string
	ID   domain.ID
}

// Name is a name of the file and what became of it.
type Name struct {
	Kind   Kind
	Text   string // as the file has it; of a block with its house before
	ID     domain.ID
	Made   bool
	Fault  string // why it is none of ours, as a code; empty where it is
	Lines  int
	OnLine int // the first
}

// Making is what the person asked to have made, in an order in which it can be.
type Making struct {
	Houses    []place.House
	Blocks    []place.Block
	Suppliers []stock.Supplier
	Cultivars []stock.Cultivar
	Shipments []stock.Shipment
	Lots      []stock.Lot
}

// Count counts what is made; shipments are made of lots and go with them.
func (m Making) Count() int {
	return len(m.Houses) + len(m.Blocks) + len(m.Suppliers) + len(m.Cultivars) + len(m.Lots)
}

// houseAndBlock stands between the names of a house and of a block in it.
const houseAndBlock = " · "

// The ways a name can fail.
const (
	notKnown   = "not_known"
	severalFit = "several_fit"
)

type nameOf struct {
	kind Kind
	key  string
}

// register finds names, remembers what it found and makes what may be made.
type register struct {
	options Options
	making  Making
	ids     map[nameOf][]domain.ID
	found   map[nameOf]*Name
	houses  map[domain.ID]string // the key of each
	lots    map[string][]stock.Lot
	lotOf   map[string]domain.ID // of what the file says of it
	most    map[domain.ID]int    // of a made lot the most plants looked at in one look
	cargo   map[string]domain.ID // shipments made, by supplier and day
}

func registerOf(known Known, options Options) *register {
	r := &register{
		options: options, ids: map[nameOf][]domain.ID{}, found: map[nameOf]*Name{}, houses: map[domain.ID]string{},
		lots: map[string][]stock.Lot{}, lotOf: map[string]domain.ID{}, most: map[domain.ID]int{}, cargo: map[string]domain.ID{},
	}
	for _, x := range known.Houses {
		r.add(HouseName, x.ID, x.Name)
		r.houses[x.ID] = stock.NameKey(x.Name)
	}
	for _, x := range known.Blocks {
		house := r.houses[x.HouseID]
		r.put(nameOf{BlockName, house + "/" + stock.NameKey(x.Name)}, x.ID)
		r.put(nameOf{BlockName, stock.NameKey(x.Name)}, x.ID)
		r.put(nameOf{BlockName, house + stock.NameKey(x.Name)}, x.ID)
	}
	for _, x := range known.Cultivars {
		r.add(CultivarName, x.ID, x.Name)
	}
	for _, x := range known.Suppliers {
		r.add(SupplierName, x.ID, x.Name)
	}
	for _, x := range known.Organisms {
		r.add(OrganismName, x.ID, x.ScientificName, x.CommonName, x.CommonNameES, x.EPPOCode)
	}
	for _, x := range known.People {
		r.add(ObserverName, x.ID, x.Name)
	}
	for _, x := range known.Lots {
		r.lots[stock.NameKey(x.Code)] = append(r.lots[stock.NameKey(x.Code)], x)
	}
	ours := map[domain.ID]bool{}
	for _, ids := range r.ids {
		for _, id := range ids {
			ours[id] = true
		}
	}
	for _, x := range known.Lots {
		ours[x.ID] = true
	}
	for _, x := range options.SameAs {
		if !ours[x.ID] {
			continue // the name stays unknown, and is told
		}
		key := stock.NameKey(x.Name)
		if house, block, within := strings.Cut(x.Name, houseAndBlock); within && x.Kind == BlockName {
			key = stock.NameKey(house) + "/" + stock.NameKey(block)
		}
		r.ids[nameOf{x.Kind, key}] = []domain.ID{x.ID}
	}
	return r
}

func (r *register) add(kind Kind, id domain.ID, names ...string) {
	for _, name := range names {
		r.put(nameOf{kind, stock.NameKey(name)}, id)
	}
}

func (r *register) put(name nameOf, id domain.ID) {
	if name.key != "" && !slices.Contains(r.ids[name], id) {
		r.ids[name] = append(r.ids[name], id)
	}
}

// find looks a name up under its keys, the closest first, and notes the line.
func (r *register) find(kind Kind, text string, line int, keys ...string) *Name {
	first := nameOf{kind, keys[0]}
	name := r.found[first]
	if name == nil {
		name = &Name{Kind: kind, Text: text, Fault: notKnown, OnLine: line}
		for _, key := range keys {
			ids := r.ids[nameOf{kind, key}]
			if key != "" && len(ids) == 1 {
				name.ID, name.Fault = ids[0], ""
				break
			}
			if len(ids) > 1 {
				name.Fault = severalFit
			}
		}
		r.found[first] = name
	}
	name.Lines++
	return name
}

// makes reports whether the person asked to have such names made.
func (r *register) makes(kind Kind) bool { return slices.Contains(r.options.Make, kind) }

// made notes that a name was given to something new.
func (r *register) made(name *Name) domain.ID {
	name.ID, name.Made, name.Fault = r.options.NewID(), true, ""
	return name.ID
}

func (r *register) house(text string, line int) *Name {
	name := r.find(HouseName, text, line, stock.NameKey(text))
	if name.Fault == notKnown && stock.NameKey(text) != "" && r.makes(HouseName) {
		id := r.made(name)
		r.houses[id] = stock.NameKey(text)
		r.making.Houses = append(r.making.Houses, place.House{ID: id, SiteID: r.options.SiteID, Name: text})
	}
	return name
}

// block finds a block within its house, or by itself where the file names no house
// and only one block is called so.
func (r *register) block(house *Name, text string, line int) *Name {
	key := stock.NameKey(text)
	if house == nil {
		return r.find(BlockName, text, line, key)
	}
	within := r.houses[house.ID]
	name := r.find(BlockName, house.Text+houseAndBlock+text, line, stock.NameKey(house.Text)+"/"+key, within+"/"+key)
	if name.Fault == notKnown && house.Fault == "" && key != "" && r.makes(BlockName) {
		position := 1
		for _, b := range r.making.Blocks {
			if b.HouseID == house.ID {
				position++
			}
		}
		r.making.Blocks = append(r.making.Blocks, place.Block{
			ID: r.made(name), SiteID: r.options.SiteID, HouseID: house.ID, Name: text, Position: r.options.LastPosition[house.ID] + position,
		})
	}
	return name
}

func (r *register) cultivar(text string, line int) *Name {
	name := r.find(CultivarName, text, line, stock.NameKey(text))
	if name.Fault == notKnown && stock.NameKey(text) != "" && r.makes(CultivarName) && !r.options.CropID.IsZero() {
		r.making.Cultivars = append(r.making.Cultivars, stock.Cultivar{
			ID: r.made(name), CropID: r.options.CropID, Name: text, Foliage: stock.MediumFoliage,
		})
	}
	return name
}

func (r *register) supplier(text string, line int) *Name {
	name := r.find(SupplierName, text, line, stock.NameKey(text))
	if name.Fault == notKnown && stock.NameKey(text) != "" && r.makes(SupplierName) {
		r.making.Suppliers = append(r.making.Suppliers, stock.Supplier{
			ID: r.made(name), Name: text, ClaimHours: stock.DefaultClaimHours,
		})
	}
	return name
}

// names gives what was found and what not, the unknown first.
func (r *register) names() []Name {
	names := make([]Name, 0, len(r.found))
	for _, name := range r.found {
		names = append(names, *name)
	}
	slices.SortFunc(names, func(a, b Name) int {
		return cmp.Or(cmp.Compare(b.Fault, a.Fault), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Text, b.Text), cmp.Compare(a.OnLine, b.OnLine))
	})
	return names
}

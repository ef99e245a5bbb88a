package imports

import (
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// longestLife is how many days after its arrival a lot may still be looked at; lot
// codes are used again every year.
const longestLife = 370

// lotSaid is what a line says of its lot.
type lotSaid struct {
	code      string
	cultivar  *Name // nil where nothing is said, as the next
	supplier  *Name
	arrivedOn domain.Date
	lookedOn  domain.Date
	plants    int // looked at
	line      int
}

// lot finds the lot of a line, or makes it. Without a fault and with a zero id it is
// not known, which a look may say.
func (r *register) lot(s lotSaid) (id domain.ID, fault string) {
	if s.code == "" && (s.cultivar == nil || s.arrivedOn.IsZero()) {
		return id, ""
	}
	if s.code != "" {
		if id := r.alias(s.code); !id.IsZero() {
			return id, ""
		}
		if id, several := closest(r.lots[stock.NameKey(s.code)], s); !id.IsZero() || several {
			return id, faultIf(several, severalFit)
		}
	} else {
		var all []stock.Lot
		for _, lots := range r.lots {
			all = append(all, lots...)
		}
		if id, several := closest(all, s); !id.IsZero() || several {
			return id, ""
		}
	}
	key := stock.NameKey(s.code) + "/" + s.arrivedOn.String()
	if s.code == "" {
		key = "/" + s.arrivedOn.String() + "/" + s.cultivar.ID.String()
	}
	if s.arrivedOn.IsZero() {
		key += s.lookedOn.String()[:4]
	}
	id, there := r.lotOf[key]
	switch {
	case there:
	case !r.makes(LotCode):
		return id, faultIf(s.code != "", notKnown)
	case s.cultivar == nil || s.cultivar.ID.IsZero():
		return id, "lot_needs_cultivar"
	case s.arrivedOn.IsZero():
		return id, "lot_needs_arrival"
	case s.supplier == nil || s.supplier.ID.IsZero():
		return id, "lot_needs_supplier"
	default:
		id = r.makeLot(s)
		r.lotOf[key] = id
	}
	r.most[id] = max(r.most[id], s.plants)
	return id, ""
}

// alias gives the lot that a person said a code of the file is.
func (r *register) alias(code string) domain.ID {
	if ids := r.ids[nameOf{LotCode, stock.NameKey(code)}]; len(ids) == 1 {
		return ids[0]
	}
	return domain.ID{}
}

// closest gives of the lots that fit what is said the one that arrived last before
// the look.
func closest(lots []stock.Lot, s lotSaid) (id domain.ID, several bool) {
	var best stock.Lot
	for _, lot := range lots {
		age := lot.ArrivedOn.DaysUntil(s.lookedOn)
		switch {
		case s.cultivar != nil && !s.cultivar.ID.IsZero() && lot.CultivarID != s.cultivar.ID,
			!s.arrivedOn.IsZero() && lot.ArrivedOn != s.arrivedOn,
			age < 0 || age > longestLife:
		case best.ID.IsZero() || lot.ArrivedOn.After(best.ArrivedOn):
			best, several = lot, false
		case lot.ArrivedOn == best.ArrivedOn:
			several = true
		}
	}
	if several {
		return domain.ID{}, true
	}
	return best.ID, false
}

func (r *register) makeLot(s lotSaid) domain.ID {
	cargo := s.supplier.ID.String() + s.arrivedOn.String()
	shipment, there := r.cargo[cargo]
	if !there {
		shipment = r.options.NewID()
		r.cargo[cargo] = shipment
		r.making.Shipments = append(r.making.Shipments, stock.Shipment{
			ID: shipment, SiteID: r.options.SiteID, SupplierID: s.supplier.ID, ExpectedOn: s.arrivedOn,
		})
	}
	lot := stock.Lot{
		ID: r.options.NewID(), ShipmentID: shipment, CultivarID: s.cultivar.ID, Code: s.code, SiteID: r.options.SiteID,
		SupplierID: s.supplier.ID, ArrivedOn: s.arrivedOn, Form: stock.Unrooted,
	}
	r.making.Lots = append(r.making.Lots, lot)
	name := &Name{Kind: LotCode, Text: s.code, ID: lot.ID, Made: true, OnLine: s.line, Lines: 1}
	if s.code == "" {
		name.Text = s.cultivar.Text + " · " + s.arrivedOn.String()
	}
	r.found[nameOf{LotCode, lot.ID.String()}] = name
	return lot.ID
}

func faultIf(wrong bool, code string) string {
	if wrong {
		return code
	}
	return ""
}

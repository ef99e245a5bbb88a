package api

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// epcisEvent is an ObjectEvent or a TransformationEvent.
type epcisEvent struct {
	Type             string          `json:"type"`
	EventID          string          `json:"eventID"`
	EventTime        string          `json:"eventTime"`
	TimeZoneOffset   string          `json:"eventTimeZoneOffset"`
	Action           string          `json:"action,omitempty"`
	BizStep          string          `json:"bizStep"`
	Disposition      string          `json:"disposition,omitempty"`
	Quantities       []epcisQuantity `json:"quantityList,omitempty"`
	Inputs           []epcisQuantity `json:"inputQuantityList,omitempty"`
	Outputs          []epcisQuantity `json:"outputQuantityList,omitempty"`
	TransformationID string          `json:"transformationID,omitempty"`
	ReadPoint        *epcisPlace     `json:"readPoint,omitempty"`
	BizLocation      *epcisPlace     `json:"bizLocation,omitempty"`
	Papers           []epcisPaper    `json:"bizTransactionList,omitempty"`
	Sources          []epcisSource   `json:"sourceList,omitempty"`
	Destinations     []epcisDest     `json:"destinationList,omitempty"`

	moment time.Time
}

// epcisQuantity counts plants of a lot; without a unit it is a number of pieces.
type epcisQuantity struct {
	Class    string `json:"epcClass"`
	Quantity int    `json:"quantity"`
}

type epcisPlace struct {
	ID string `json:"id"`
}

type epcisPaper struct {
	Type  string `json:"type,omitempty"`
	Paper string `json:"bizTransaction"`
}

type epcisSource struct {
	Type   string `json:"type"`
	Source string `json:"source"`
}

type epcisDest struct {
	Type        string `json:"type"`
	Destination string `json:"destination"`
}

// paperTypes are the kinds of papers that the vocabulary has a word for; the others
// go without one.
var paperTypes = map[string]string{
	"order": "po", "packing_list": "desadv", "invoice": "inv", "airway_bill": "bol", "phytosanitary_certificate": "cert", "plant_passport": "cert",
}

// events tells the movements of the trail as events, in time. What changes neither
// the number nor the place of plants (roots counted, tips taken out) is not told.
func (n epcisNames) events() []epcisEvent {
	events := n.arrivals()
	for _, m := range n.record.Movements {
		switch m.Kind {
		case stock.Split, stock.Merge:
			events = append(events, n.transformations(m)...)
		case stock.Root, stock.Pinch:
		default:
			events = append(events, n.object(m))
		}
	}
	slices.SortStableFunc(events, func(x, y epcisEvent) int { return x.moment.Compare(y.moment) })
	return events
}

// arrivals are the lots that nobody counted at the dock: they came when their
// shipment did, as many as their papers say.
func (n epcisNames) arrivals() []epcisEvent {
	events := []epcisEvent{}
	for _, came := range n.record.Shipments {
		for _, x := range n.record.Lots {
			if x.Lot.ShipmentID != came.ID || !x.BornAt.IsZero() || came.DockedAt.IsZero() {
				continue
			}
			m := stock.Movement{ID: x.Lot.ID, LotID: x.Lot.ID, Kind: stock.Receive, MovedAt: came.DockedAt, Plants: x.Tally.In}
			events = append(events, n.object(m))
		}
	}
	return events
}

func (n epcisNames) object(m stock.Movement) epcisEvent {
	site := n.record.Names.Lots[m.LotID].SiteID
	e := epcisEvent{
		Type: "ObjectEvent", EventID: "urn:uuid:" + m.ID.String(), Action: "OBSERVE", Disposition: "in_progress",
		Quantities: []epcisQuantity{{n.lot(m.LotID), m.Plants}}, moment: m.MovedAt,
	}
	e.EventTime, e.TimeZoneOffset = n.at(m.MovedAt, site)
	from, to := n.place(m.FromBlockID, site), n.place(m.ToBlockID, site)
	switch m.Kind {
	case stock.Receive:
		e.BizStep, e.BizLocation = "receiving", &epcisPlace{to}
		n.came(&e, m.LotID)
	case stock.Count:
		e.BizStep, e.BizLocation = "cycle_counting", &epcisPlace{from}
	case stock.Discard:
		e.Action, e.BizStep, e.Disposition, e.ReadPoint = "DELETE", "destroying", "destroyed", &epcisPlace{from}
		if m.PaperNumber != "" {
			e.Papers = []epcisPaper{{Paper: n.paper(site, "destruction", m.PaperNumber)}}
		}
	case stock.Dispatch:
		e.BizStep, e.Disposition, e.ReadPoint = "shipping", "in_transit", &epcisPlace{from}
		e.Destinations = []epcisDest{{"possessing_party", n.customer(m.CustomerID)}}
		if m.PaperNumber != "" {
			e.Papers = []epcisPaper{{"desadv", n.paper(m.CustomerID, "delivery_note", m.PaperNumber)}}
		}
	default: // put somewhere: stuck, potted, spaced, moved
		e.BizStep, e.BizLocation = "storing", &epcisPlace{to}
		e.Sources, e.Destinations = []epcisSource{{"location", from}}, []epcisDest{{"location", to}}
	}
	return e
}

// came adds who a lot came from and with which papers.
func (n epcisNames) came(e *epcisEvent, lot domain.ID) {
	at := slices.IndexFunc(n.record.Lots, func(x stock.TrailLot) bool { return x.Lot.ID == lot })
	if at < 0 {
		return
	}
	for _, came := range n.record.Shipments {
		if came.ID != n.record.Lots[at].Lot.ShipmentID {
			continue
		}
		e.Sources = []epcisSource{{"possessing_party", n.supplier(came.SupplierID)}}
		for _, p := range came.Papers {
			e.Papers = append(e.Papers, epcisPaper{paperTypes[p.Kind], n.paper(came.SupplierID, p.Kind, p.Number)})
		}
	}
}

// transformations tells a split or merge: plants of some lots become plants of
// others. An event happens in one place, so that there is one for each place the
// plants went to; those of one movement share a transformation id, which says that
// their inputs and outputs belong together.
func (n epcisNames) transformations(m stock.Movement) []epcisEvent {
	site := n.record.Names.Lots[m.LotID].SiteID
	var events []epcisEvent
	var places []string
	for _, p := range m.Parts {
		block := p.ToBlockID
		if block.IsZero() {
			block = p.FromBlockID
		}
		place := n.place(block, site)
		at := slices.Index(places, place)
		if at < 0 {
			at = len(events)
			places = append(places, place)
			e := epcisEvent{
				Type: "TransformationEvent", Disposition: "in_progress", BizStep: "creating_class_instance", BizLocation: &epcisPlace{place},
				moment: m.MovedAt,
			}
			e.EventTime, e.TimeZoneOffset = n.at(m.MovedAt, site)
			events = append(events, e)
		}
		parent, child := m.LotID, p.LotID
		if m.Kind == stock.Merge {
			parent, child = child, parent
		}
		e := &events[at]
		e.Inputs, e.Outputs = add(e.Inputs, n.lot(parent), p.Plants), add(e.Outputs, n.lot(child), p.Plants)
	}
	for i := range events {
		events[i].EventID = "urn:uuid:" + eventID(m.ID, i).String()
		if len(events) > 1 {
			events[i].TransformationID = "urn:uuid:" + m.ID.String()
		}
	}
	return events
}

// add counts each lot once.
func add(list []epcisQuantity, class string, plants int) []epcisQuantity {
	for i := range list {
		if list[i].Class == class {
			list[i].Quantity += plants
			return list
		}
	}
	return append(list, epcisQuantity{class, plants})
}

// eventID is the movement's own for its first event and made from it for the
// others, the same in every export (UUIDv8: RFC 9562, section 5.8).
func eventID(movement domain.ID, ordinal int) domain.ID {
	if ordinal == 0 {
		return movement
	}
	sum := sha256.Sum256([]byte(fmt.Sprintf("%s/%d", movement, ordinal)))
	id := domain.ID(sum[:16])
	id[6], id[8] = id[6]&0x0f|0x80, id[8]&0x3f|0x80
	return id
}

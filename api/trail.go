package api

import (
	"math/big"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain/arrival"
	"benchtrail/domain/stats"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

func trailLotToWire(x stock.TrailLot) wire.TrailLot {
	l := x.Lot
	out := wire.TrailLot{
		LotID: l.ID, Code: l.Code, CultivarID: l.CultivarID, SiteID: l.SiteID, ShipmentID: l.ShipmentID, FarmIds: l.FarmIDs,
		SupplierLotCode: l.SupplierLotCode, BornAt: x.BornAt, State: wire.LotState(l.State), Held: l.Held, Tally: tallyToWire(x.Tally),
		OnHand: x.Tally.OnHand(), Certain: x.Certain,
	}
	if x.Part != nil {
		percent := percentOf(x.Part)
		out.Percent = &percent
	}
	return out
}

func linkToWire(x stock.Link) wire.TrailLink {
	return wire.TrailLink{FromLotID: x.From, ToLotID: x.To, MovementID: x.MovementID, At: x.At, Plants: x.Plants}
}

func exitToWire(m stock.Movement) wire.TrailExit {
	return wire.TrailExit{
		MovementID: m.ID, Kind: wire.TrailExitKind(m.Kind), LotID: m.LotID, At: m.MovedAt, Plants: m.Plants, CustomerID: m.CustomerID,
		PaperNumber: m.PaperNumber, Reason: m.Reason, WhileHeld: len(m.HeldBy) > 0,
	}
}

func trailShipmentToWire(x stock.Shipment) wire.TrailShipment {
	return wire.TrailShipment{
		ShipmentID: x.ID, SupplierID: x.SupplierID, SiteID: x.SiteID, ArrivedOn: x.ArrivedOn,
		Papers: each(x.Papers, func(p stock.Paper) wire.Paper { return wire.Paper{Kind: wire.PaperKind(p.Kind), Number: p.Number} }),
	}
}

// fraction writes a number exactly: 12, or 37/3.
func fraction(x *big.Rat) string { return strings.TrimSuffix(x.String(), "/1") }

func balanceToWire(b stock.TrailBalance) wire.TrailBalance {
	number := func(x *big.Rat) float64 { n, _ := x.Float64(); return n }
	out := wire.TrailBalance{
		OnHand: number(b.OnHand), Discarded: number(b.Discarded), Dispatched: number(b.Dispatched), Lost: number(b.Lost), Gained: number(b.Gained),
		Received: number(b.Received),
	}
	out.Exact.Received = fraction(b.Received)
	out.Exact.OnHand, out.Exact.Discarded, out.Exact.Dispatched = fraction(b.OnHand), fraction(b.Discarded), fraction(b.Dispatched)
	out.Exact.Lost, out.Exact.Gained = fraction(b.Lost), fraction(b.Gained)
	return out
}

// GetTrail implements GET /trail.
func (s *server) GetTrail(c echo.Context, p wire.GetTrailParams) error {
	q := store.TrailQuery{From: stock.TrailStart(p.From), ID: p.ID, Back: p.Way == "back"}
	t, err := s.Store.Trail(c.Request().Context(), actorOf(c), q)
	if err != nil {
		return err
	}
	out := wire.Trail{
		From: p.From, ID: p.ID, Way: wire.TrailWay(orDefault(p.Way, "forward")), Lots: each(t.Lots, trailLotToWire), Links: each(t.Links, linkToWire),
		Placements: each(t.Placements, placementToWire), Exits: each(t.Exits, exitToWire), Shipments: each(t.Shipments, trailShipmentToWire),
		CannotRuleOut: each(t.CannotRuleOut, trailLotToWire),
	}
	if t.Balance != nil {
		balance := balanceToWire(*t.Balance)
		out.Balance = &balance
	}
	return c.JSON(http.StatusOK, out)
}

// GetContacts implements GET /contacts.
func (s *server) GetContacts(c echo.Context, p wire.GetContactsParams) error {
	found, err := s.Store.Contacts(c.Request().Context(), actorOf(c), store.TrailQuery{From: stock.TrailStart(p.From), ID: p.ID})
	if err != nil {
		return err
	}
	out := wire.ContactList{From: p.From, ID: p.ID, AsOf: found.AsOf, OrganismID: found.OrganismID, Items: []wire.Contact{}}
	for _, x := range found.Items {
		onIt, err := rateToWire(x.OnIt.Infested, x.OnIt.Plants)
		if err != nil {
			return err
		}
		onThese, err := rateToWire(x.OnThese.Infested, x.OnThese.Plants)
		if err != nil {
			return err
		}
		out.Items = append(out.Items, wire.Contact{
			LotID: x.LotID, Code: x.Code, CultivarID: x.CultivarID, Level: wire.ContactLevel(x.Level), PlaceID: x.PlaceID,
			From: x.From, To: x.To, Still: x.To.IsZero(), Days: x.Days, FoundOnIt: onIt, FoundOnThese: onThese,
		})
	}
	return c.JSON(http.StatusOK, out)
}

// GetStrikes implements GET /strikes.
func (s *server) GetStrikes(c echo.Context, p wire.GetStrikesParams) error {
	season, groups, err := s.Store.Strikes(c.Request().Context(), actorOf(c), store.StrikeQuery{By: string(p.By), SiteID: p.SiteID, SeasonID: p.SeasonID})
	if err != nil {
		return err
	}
	strikes, losses := make([][]stats.Proportion, len(groups)), make([][]stats.Proportion, len(groups))
	for i, g := range groups {
		strikes[i], losses[i] = g.Strike, g.Loss
	}
	strike, err := arrival.RatesOf(strikes, trend.Confidence)
	if err != nil {
		return err
	}
	loss, err := arrival.RatesOf(losses, trend.Confidence)
	if err != nil {
		return err
	}
	out := wire.StrikeList{By: string(p.By), SeasonID: season, Items: []wire.StrikeGroup{}}
	for i, g := range groups {
		out.Items = append(out.Items, wire.StrikeGroup{Key: g.Key, Lots: g.Lots, Strike: rateOfLots(strike[i]), Loss: rateOfLots(loss[i])})
	}
	return c.JSON(http.StatusOK, out)
}

func rateOfLots(x arrival.Rate) wire.Rate {
	r := wire.Rate{Count: x.Count, Of: x.Of}
	if x.Of > 0 {
		percent, lower, upper := 100*float64(x.Count)/float64(x.Of), 100*x.Lower, 100*x.Upper
		r.Percent, r.LowerPercent, r.UpperPercent = &percent, &lower, &upper
	}
	return r
}

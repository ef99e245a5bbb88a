package simulation

import (
	"fmt"
	"math"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
)

// An unusable cutting costs so much, in hundredths of the currency.
const (
	cuttingPrice  = 32
	claimCurrency = "USD"
)

// claimDamage has a receiver claim the plants of a lot that came unusable: a few
// hours later, with those of the other lots of the shipment found by then, and some
// days after that the supplier answers.
func (k *keeping) claimDamage(x arrival.Inspection, by string) {
	if x.Occasion != arrival.AtDock || x.Condition.Unusable < 2 {
		return
	}
	l := k.lives[x.LotID]
	shipment := l.shipments[0]
	c := x.Condition
	bad := c.Unusable + c.BadlyDamaged
	k.damaged[shipment] = append(k.damaged[shipment], arrival.ClaimItem{
		LotID: x.LotID, What: "damaged", Plants: int(math.Round(float64(bad*l.Plants) / float64(c.Total()))),
		Note: fmt.Sprintf("Badly damaged %d, unusable %d of %d looked at.", c.BadlyDamaged, c.Unusable, c.Total()),
	})
	if len(k.damaged[shipment]) == 1 {
		k.plan(x.InspectedAt.Add(200*time.Minute), func(at time.Time) { k.claim(shipment, by, at) })
	}
}

// claim sends a claim for what was found of a shipment, and writes its answer down.
func (k *keeping) claim(shipment domain.ID, by string, at time.Time) {
	x := arrival.Claim{
		ID: k.id(at), ShipmentID: shipment, Items: k.damaged[shipment], SentAt: at, SentBy: "by e-mail to the sales office",
		Text: "These plants cannot be used. Please credit them.",
	}
	delete(k.damaged, shipment)
	k.record(at, by, 0, x)
	k.plan(at.AddDate(0, 0, 4), func(at time.Time) {
		plants := 0
		for _, item := range x.Items {
			plants += item.Plants
		}
		cents := plants * cuttingPrice
		x.AnsweredAt, x.Answer = at, "Credited with the next invoice."
		x.Credit = arrival.Credit{Amount: fmt.Sprintf("%d.%02d", cents/100, cents%100), Currency: claimCurrency}
		k.record(at, by, 1, x)
	})
}

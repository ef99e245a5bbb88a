package arrival

import (
	"maps"
	"math/big"
	"slices"

	"benchtrail/domain"
)

// ClaimLine is a line of a claim that was sent, in one of the groups its lots are of. A
// line about lots of several groups comes once for each.
type ClaimLine struct {
	ClaimID          domain.ID
	Answered         bool
	Amount, Currency string // granted, of the whole claim; a decimal number; no currency, no credit
	Ordinal          int
	Plants           int
	Group            string
}

// ClaimPart is what a claim is to one group.
type ClaimPart struct {
	ClaimID  domain.ID
	Answered bool
	Plants   int // claimed of the group alone
	// Shared says that the claim is about other groups, too: what was granted, and the
	// plants of lines about several, cannot be shared out.
	Shared           bool
	Amount, Currency string // granted; empty where shared
}

// ShareOut gives each group its part of the claims, in their order. Nothing is divided
// that the records do not divide.
func ShareOut(lines []ClaimLine) map[string][]ClaimPart {
	type line struct {
		claim   domain.ID
		ordinal int
	}
	ofLine, ofClaim := map[line]int{}, map[domain.ID][]string{}
	for _, l := range lines {
		ofLine[line{l.ClaimID, l.Ordinal}]++
		if !slices.Contains(ofClaim[l.ClaimID], l.Group) {
			ofClaim[l.ClaimID] = append(ofClaim[l.ClaimID], l.Group)
		}
	}
	parts := map[string][]ClaimPart{}
	for _, l := range lines {
		of := parts[l.Group]
		if n := len(of); n == 0 || of[n-1].ClaimID != l.ClaimID {
			part := ClaimPart{ClaimID: l.ClaimID, Answered: l.Answered, Shared: len(ofClaim[l.ClaimID]) > 1}
			if !part.Shared && l.Currency != "" {
				part.Amount, part.Currency = l.Amount, l.Currency
			}
			of = append(of, part)
		}
		if ofLine[line{l.ClaimID, l.Ordinal}] == 1 {
			of[len(of)-1].Plants += l.Plants
		}
		parts[l.Group] = of
	}
	return parts
}

// Claimed is what was asked for and granted of a group.
type Claimed struct {
	Claims, Answered int
	Shared           int // of the claims, those about other groups, too
	Plants           int
	Granted          []Credit // by currency, of the claims that are about the group alone
}

// Sum adds up the parts of a group. An amount that is no number counts as nothing.
func Sum(parts []ClaimPart) Claimed {
	var c Claimed
	granted := map[string]*big.Rat{}
	for _, p := range parts {
		c.Claims++
		c.Plants += p.Plants
		if p.Answered {
			c.Answered++
		}
		if p.Shared {
			c.Shared++
		}
		amount, isNumber := new(big.Rat).SetString(p.Amount)
		if p.Currency == "" || !isNumber {
			continue
		}
		if granted[p.Currency] == nil {
			granted[p.Currency] = new(big.Rat)
		}
		granted[p.Currency].Add(granted[p.Currency], amount)
	}
	for _, currency := range slices.Sorted(maps.Keys(granted)) {
		c.Granted = append(c.Granted, Credit{Amount: granted[currency].FloatString(2), Currency: currency})
	}
	return c
}

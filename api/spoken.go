package api

import (
	"fmt"
	"strconv"

	"benchtrail/domain"
)

// spoken are the words of what leaves by itself, calendars and letters, in the language of
// a person. What the pages say stands in web/src/words.
type spoken struct {
	due         func(site string) string
	round       string
	roundOf     func(domain.Week) string
	planned     func(blocks, plants, minutes, walked int) string
	secondLook  string
	claim       string
	claimCloses func(supplier string) string
	arrivedOn   func(domain.Date) string
	hold        string
	holdEnds    func(lot string) string
}

func spokenIn(language string) spoken {
	if language == "es" {
		return spanish()
	}
	return english()
}

// plural gives a number with the word for one or for several.
func plural(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + several
}

// lasting writes minutes as hours and minutes.
func lasting(minutes int) string {
	switch {
	case minutes < 60:
		return fmt.Sprintf("%d min", minutes)
	case minutes%60 == 0:
		return fmt.Sprintf("%d h", minutes/60)
	}
	return fmt.Sprintf("%d h %d min", minutes/60, minutes%60)
}

func english() spoken {
	return spoken{
		due:     func(site string) string { return "Benchtrail: due at " + site },
		round:   "Round",
		roundOf: func(w domain.Week) string { return fmt.Sprintf("Round of week %d", w.Number) },
		planned: func(blocks, plants, minutes, walked int) string {
			return fmt.Sprintf("%s, %s, about %s; %d of %d blocks walked", plural(blocks, "block", "blocks"), plural(plants, "plant", "plants"), lasting(minutes), walked, blocks)
		},
		secondLook:  "Second look",
		claim:       "Claim",
		claimCloses: func(supplier string) string { return "Last hour for a claim: " + supplier },
		arrivedOn:   func(on domain.Date) string { return "Shipment of " + on.String() },
		hold:        "Hold",
		holdEnds:    func(lot string) string { return "Hold ends: lot " + lot },
	}
}

func spanish() spoken {
	return spoken{
		due:     func(site string) string { return "Benchtrail: lo que toca en " + site },
		round:   "Ronda",
		roundOf: func(w domain.Week) string { return fmt.Sprintf("Ronda de la semana %d", w.Number) },
		planned: func(blocks, plants, minutes, walked int) string {
			return fmt.Sprintf("%s, %s, unos %s; recorridos %d de %d bloques", plural(blocks, "bloque", "bloques"), plural(plants, "planta", "plantas"), lasting(minutes), walked, blocks)
		},
		secondLook:  "Segunda revisión",
		claim:       "Reclamación",
		claimCloses: func(supplier string) string { return "Última hora para reclamar: " + supplier },
		arrivedOn:   func(on domain.Date) string { return "Envío del " + on.String() },
		hold:        "Retención",
		holdEnds:    func(lot string) string { return "Termina la retención: lote " + lot },
	}
}

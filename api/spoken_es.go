package api

import (
	"fmt"

	"benchtrail/api/internal/wire"
	"benchtrail/domain"
	"benchtrail/domain/advice"
)

func spanish() spoken {
	return spoken{
		comma: ",", w: "S", of: "de", and: "y",
		months: [12]string{"ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sept", "oct", "nov", "dic"},
		blocks: plurals("bloque", "bloques"), plants: plurals("planta", "plantas"), lots: plurals("lote", "lotes"),

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

		letterAbout: func(w domain.Week, site string) string { return fmt.Sprintf("Semana %d en %s", w.Number, site) },
		greeting:    func(name string) string { return "Buenos días, " + name + "." },
		stop:        "Recibe esta carta porque la pidió en la página Esta semana de Benchtrail. Allí puede dejar de recibirla.",
		open:        "Abrir esta semana con sus tendencias y revisiones", until: "hasta",
		order:     "Primero lo peor según el extremo inferior del intervalo, no según el porcentaje.",
		lotsTitle: "Lotes que piden una persona", decisionsTitle: "Decidido, ¿y hecho?", dueTitle: "Lo que toca",
		week: func(w domain.Week, from, to string) string {
			return fmt.Sprintf("Semana %d, del %s al %s", w.Number, from, to)
		},
		more: func(n int) string { return "y " + plural(n, "lote más", "lotes más") },
		overOrNear: func(n int, all, kinds string) string {
			return fmt.Sprintf("%d de %s %s por encima o cerca del límite: %s", n, all, estaEstan(n), kinds)
		},
		noneOver: func(all string) string {
			return "Ninguno de " + all + " supera su límite, va camino de superarlo ni está demasiado cerca"
		},
		over:    func(n int) string { return fmt.Sprintf("%d por encima", n) },
		heading: func(n int) string { return fmt.Sprintf("%d con probabilidad de superar el próximo", n) },
		near:    func(n int) string { return fmt.Sprintf("%d demasiado cerca para saberlo", n) },
		missed: func(n, planned int) string {
			return fmt.Sprintf("%s %d de %d bloques previstos", map[bool]string{true: "faltó", false: "faltaron"}[n == 1], n, planned)
		},
		noneMissed: "no faltó ningún bloque previsto", noPlan: "no había nada previsto",
		adults:       func(houses string) string { return "adultos en brotes nuevos en " + houses },
		inHouse:      func(house, counts string) string { return house + " (" + counts + " plantas)" },
		noAdults:     func(plants string) string { return "no se anotaron adultos en brotes nuevos de " + plants },
		notLookedFor: "no se buscaron signos",
		below:        func(n int) string { return fmt.Sprintf("%d %s por debajo o se espera que sigan así", n, estaEstan(n)) },
		unsettled:    func(n int) string { return fmt.Sprintf("de %d se revisaron muy pocas plantas para saberlo", n) },
		stale:        func(n int) string { return fmt.Sprintf("%d sin revisar en dos semanas", n) },
		otherLots:    func(parts string) string { return "De los demás lotes, " + parts + "." },
		looked: func(counts, organism, blocks string) string {
			return "Revisado en la semana: " + counts + " plantas con " + organism + ", en " + blocks + "."
		},
		notWalked: "Nadie revisó plantas aquí en esa semana.",
		concern: map[advice.Concern]string{
			advice.OverLimit: "por encima de su límite", advice.HeadingOver: "probable por encima del próximo límite", advice.NearLimit: "demasiado cerca para saberlo",
			advice.Unsettled: "pocas plantas", advice.WellBelow: "por debajo del límite", advice.Unlimited: "sin límite", advice.NotLookedAt: "sin revisar en dos semanas",
		},
		suggestion: map[advice.SuggestionCode]string{
			advice.LookAtMore: "revisar más plantas", advice.StayBiological: "seguir con el control biológico", advice.DealWithHotSpots: "atender los focos",
			advice.ConsiderSelective: "considerar un control químico selectivo", advice.NothingToSay: "aún nada que decir",
		},
		choice: map[wire.DecisionChoice]string{
			"look_at_more": "Revisar más plantas", "stay_biological": "Seguir con el control biológico", "deal_with_hot_spots": "Atender los focos",
			"selective_control": "Control químico selectivo", "something_else": "Otra cosa",
		},
		share: func(week, counts, organism, share string) string {
			return week + ": " + counts + " plantas tienen " + organism + ", " + share + "."
		},
		none: func(week, plants, organism, upper string) string {
			return week + ": no se vio " + organism + " en " + plants + "; con 95 % de confianza la tienen menos del " + upper + "."
		},
		since: func(week, points, lower, upper string, said bool) string {
			if said {
				return fmt.Sprintf("Desde %s %s puntos (%s a %s).", week, points, lower, upper)
			}
			return fmt.Sprintf("Desde %s %s puntos (%s a %s): puede no haber cambio.", week, points, lower, upper)
		},
		chance: func(percent, on string) string {
			return "Probabilidad de superar el límite el " + on + ": cerca del " + percent + "."
		},
		decided: func(choice, cultivar, house, who, on string) string {
			return fmt.Sprintf("%s, %s en %s (%s, %s)", choice, cultivar, house, who, on)
		},
		done: func(on string) string { return "hecho el " + on }, notDone: "aún sin hacer",
		from: func(from, to string) string { return "del " + from + " al " + to },
	}
}

func estaEstan(n int) string {
	if n == 1 {
		return "está"
	}
	return "están"
}

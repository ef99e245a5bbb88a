package imports

import (
	"slices"
	"strings"

	"benchtrail/domain/stock"
)

// Kind is what a column holds.
type Kind string

// The kinds of columns, in the order in which a look is told.
const (
	LookKey         Kind = "look"      // lines with the same one are one look
	LookedOn        Kind = "looked_on" // the day, perhaps with the time
	LookedAt        Kind = "looked_at" // the time of the day, or the whole moment
	HouseName       Kind = "house"
	BlockName       Kind = "block"
	LotCode         Kind = "lot_code"
	CultivarName    Kind = "cultivar"
	ArrivedOn       Kind = "arrived_on"
	SupplierName    Kind = "supplier"
	ObserverName    Kind = "observer"
	Purpose         Kind = "purpose"
	CropStage       Kind = "crop_stage"
	HotSpot         Kind = "hot_spot"
	Seconds         Kind = "seconds"
	Note            Kind = "note"
	OrganismName    Kind = "organism"
	PlantsLookedAt  Kind = "plants_looked_at"
	InfestedPlants  Kind = "infested_plants"
	InfestedPercent Kind = "infested_percent"
	SignsLookedFor  Kind = "signs_looked_for"
)

// Kinds gives all of them.
func Kinds() []Kind {
	return []Kind{
		LookKey, LookedOn, LookedAt, HouseName, BlockName, LotCode, CultivarName, ArrivedOn, SupplierName, ObserverName, Purpose, CropStage,
		HotSpot, Seconds, Note, OrganismName, PlantsLookedAt, InfestedPlants, InfestedPercent, SignsLookedFor,
	}
}

// Needed are the kinds without which no look can be read.
func Needed() []Kind {
	return []Kind{LookedOn, BlockName, OrganismName, PlantsLookedAt, InfestedPlants}
}

// headings are the names that columns usually have, by stock.NameKey of each
// (common practice, in English and Spanish).
func headings() map[Kind]string {
	return map[Kind]string{
		LookKey:      "look lookid recorrido observacionid idobservacion",
		LookedOn:     "lookedon date dateofscouting scoutingdate scouted day fecha dia fechademonitoreo fechademuestreo fechadeobservacion fechaderevision",
		LookedAt:     "lookedat time timeofday hora momento",
		HouseName:    "house greenhouse housename gh bay compartment invernadero nave modulo casa",
		BlockName:    "block bench blockname section area zone location bed mesa bloque banco banca seccion zona ubicacion cama",
		LotCode:      "lotcode lot lotno lotnumber batch batchno lote codigodelote nodelote numerodelote",
		CultivarName: "cultivar variety cv cultivarname plant variedad planta",
		ArrivedOn:    "arrivedon arrival arrivaldate received receivedon datereceived dateofarrival llegada fechadellegada llego recibido fechaderecepcion",
		SupplierName: "supplier vendor source breeder proveedor origen procedencia",
		ObserverName: "observer scout scoutedby lookedatby initials person name observador observadora monitor monitora iniciales persona responsable quien quienreviso revisadopor",
		Purpose:      "purpose reason motivo proposito",
		CropStage:    "cropstage stage etapa etapadelcultivo",
		HotSpot:      "hotspot foco",
		Seconds:      "seconds segundos",
		Note:         "note notes comment comments remarks nota notas comentario comentarios observaciones",
		OrganismName: "organism pest pestname insect disease plaga organismo insecto enfermedad",
		PlantsLookedAt: "plantslookedat plantschecked plantsinspected plantsexamined plantsscouted examined checked inspected sampled samplesize n " +
			"noplants noofplants numberofplants plantsobserved plantasrevisadas plantasmuestreadas plantasobservadas plantasvistas muestra revisadas muestreadas totalplantas plantas plants",
		InfestedPlants: "infestedplants plantsinfested infested positive positives plantswithpest plantswithwhitefly withpest found k noinfested numberinfested " +
			"plantasinfestadas infestadas plantasconplaga plantaspositivas positivas conplaga",
		InfestedPercent: "infestedpercent percentinfested percent pct infestation infestationpercent incidence porcentaje porcentajedeinfestacion infestacion incidencia porciento",
		SignsLookedFor:  "signslookedfor signosbuscados",
	}
}

// Guess says what the columns probably hold, from their headings; empty where it
// cannot tell. No kind is given twice.
func Guess(names []string) []Kind {
	known := map[string]Kind{}
	for kind, words := range headings() {
		for word := range strings.FieldsSeq(words) {
			known[word] = kind
		}
	}
	columns := make([]Kind, len(names))
	for i, name := range names {
		key := stock.NameKey(name)
		kind := known[key]
		if strings.ContainsAny(name, "%") && kind != PlantsLookedAt {
			kind = InfestedPercent // the sign is no letter, so the key does not have it
		}
		if kind != "" && !slices.Contains(columns, kind) {
			columns[i] = kind
		}
	}
	return columns
}

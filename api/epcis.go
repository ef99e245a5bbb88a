package api

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// EPCIS is how trading partners tell each other what happened to goods (GS1 EPCIS
// and CBV 2.0, which are also ISO/IEC 19987 and 19988). A lot is a class: its
// plants are counted, none has a number of its own.

const epcisContext = "https://ref.gs1.org/standards/epcis/2.0.0/epcis-context.jsonld"

type epcisDocument struct {
	Context       []string    `json:"@context"`
	Type          string      `json:"type"`
	SchemaVersion string      `json:"schemaVersion"`
	CreationDate  string      `json:"creationDate"`
	Header        epcisHeader `json:"epcisHeader"`
	Body          struct {
		Events []epcisEvent `json:"eventList"`
	} `json:"epcisBody"`
}

// epcisHeader has the names of what the events name by address.
type epcisHeader struct {
	MasterData struct {
		Vocabularies []epcisVocabulary `json:"vocabularyList"`
	} `json:"epcisMasterData"`
}

type epcisVocabulary struct {
	Type     string         `json:"type"`
	Elements []epcisElement `json:"vocabularyElementList"`
}

type epcisElement struct {
	ID         string           `json:"id"`
	Attributes []epcisAttribute `json:"attributes"`
}

type epcisAttribute struct {
	ID    string `json:"id"`
	Value string `json:"attribute"`
}

// epcisNames gives everything its identifier.
type epcisNames struct {
	origin string // scheme and host of this installation
	record store.TrailRecord
	zones  map[domain.ID]*time.Location
	shared map[string]int // how many lots have the GS1 identifier
}

func newEpcisNames(r store.TrailRecord, origin string) (epcisNames, error) {
	n := epcisNames{origin: origin, record: r, shared: map[string]int{}}
	for _, lot := range r.Names.Lots {
		n.shared[n.gs1(lot)]++
	}
	var err error
	n.zones, err = zonesOf(r)
	return n, err
}

// batchNumber is what GS1 allows as a batch or lot number, in characters that need
// no escape in an address.
var batchNumber = regexp.MustCompile(`^[A-Za-z0-9._-]{1,20}$`)

// gs1 is the lot's identifier in GS1 Digital Link form, empty when it has none.
func (n epcisNames) gs1(lot stock.Lot) string {
	gtin := n.record.Names.Cultivars[lot.CultivarID].GTIN
	if gtin == "" || !batchNumber.MatchString(lot.Code) {
		return ""
	}
	return "https://id.gs1.org/01/" + strings.Repeat("0", max(0, 14-len(gtin))) + gtin + "/10/" + lot.Code
}

// lot names a lot to partners: by the cultivar's GTIN and the lot's code, or by an
// address here when it has no GTIN. Codes come back every year; two lots that would
// have the same name are both named by their address.
func (n epcisNames) lot(id domain.ID) string {
	if name := n.gs1(n.record.Names.Lots[id]); name != "" && n.shared[name] == 1 {
		return name
	}
	return n.origin + "/l/" + id.String()
}

// place names a block, or the site for plants that stand in none.
func (n epcisNames) place(block, site domain.ID) string {
	if block.IsZero() {
		return n.origin + "/sites/" + site.String()
	}
	return n.origin + "/b/" + block.String()
}

func (n epcisNames) supplier(id domain.ID) string { return n.origin + "/suppliers/" + id.String() }

func (n epcisNames) customer(id domain.ID) string { return n.origin + "/customers/" + id.String() }

// paper names a paper of a partner: numbers are only unique with whoever gave them.
func (n epcisNames) paper(partner domain.ID, kind, number string) string {
	return n.origin + "/papers/" + partner.String() + "/" + kind + "/" + url.PathEscape(number)
}

// at gives a moment and its offset as the clocks of the site show them.
func (n epcisNames) at(moment time.Time, site domain.ID) (at, offset string) {
	local := moment.UTC()
	if zone := n.zones[site]; zone != nil {
		local = moment.In(zone)
	}
	return local.Format("2006-01-02T15:04:05.999999999-07:00"), local.Format("-07:00")
}

// masterData names lots, places and partners in words.
func (n epcisNames) masterData() []epcisVocabulary {
	names := n.record.Names
	named := func(id, name string) epcisElement { return epcisElement{id, []epcisAttribute{{"cbvmda:name", name}}} }
	var lots, places, partners []epcisElement
	for id, x := range names.Lots {
		lots = append(lots, epcisElement{n.lot(id), []epcisAttribute{
			{"cbvmda:lotNumber", x.Code}, {"cbvmda:descriptionShort", names.Cultivars[x.CultivarID].Name},
		}})
	}
	for id, x := range names.Sites {
		places = append(places, named(n.place(domain.ID{}, id), x.Name))
	}
	for id, x := range names.Blocks {
		places = append(places, named(n.place(id, x.SiteID), strings.Join([]string{names.Sites[x.SiteID].Name, names.Houses[x.HouseID].Name, x.Name}, ", ")))
	}
	for id, x := range names.Suppliers {
		partners = append(partners, named(n.supplier(id), x.Name))
	}
	for id, x := range names.Customers {
		partners = append(partners, named(n.customer(id), x.Name))
	}
	all := []epcisVocabulary{}
	for kind, elements := range map[string][]epcisElement{"EPCClass": lots, "BusinessLocation": places, "SourceDest": partners} {
		if len(elements) > 0 {
			slices.SortFunc(elements, func(x, y epcisElement) int { return cmp.Compare(x.ID, y.ID) })
			all = append(all, epcisVocabulary{"urn:epcglobal:epcis:vtype:" + kind, elements})
		}
	}
	slices.SortFunc(all, func(x, y epcisVocabulary) int { return cmp.Compare(x.Type, y.Type) })
	return all
}

func newEpcisDocument(r store.TrailRecord, origin string, now time.Time) (epcisDocument, error) {
	n, err := newEpcisNames(r, origin)
	if err != nil {
		return epcisDocument{}, err
	}
	d := epcisDocument{
		Context: []string{epcisContext}, Type: "EPCISDocument", SchemaVersion: "2.0", CreationDate: now.UTC().Format(time.RFC3339Nano),
	}
	d.Header.MasterData.Vocabularies = n.masterData()
	d.Body.Events = n.events()
	return d, nil
}

// GetTrailEvents implements GET /trail/epcis.
func (s *server) GetTrailEvents(c echo.Context, p wire.GetTrailEventsParams) error {
	q := store.TrailQuery{From: stock.TrailStart(p.From), ID: p.ID, Back: p.Way == "back"}
	record, err := s.Store.TrailMovements(c.Request().Context(), actorOf(c), q)
	if err != nil {
		return err
	}
	document, err := newEpcisDocument(record, fmt.Sprintf("%s://%s", c.Scheme(), c.Request().Host), s.Clock())
	if err != nil {
		return err
	}
	zones, err := zonesOf(record)
	if err != nil {
		return err
	}
	s.fileName(c, q.From, zones, "jsonld")
	c.Response().Header().Set(echo.HeaderContentType, "application/ld+json")
	return c.JSON(http.StatusOK, document)
}

package imports

import (
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
)

// Bounds of texts, those of a look.
const (
	mostNote = 2000
	mostName = 120
)

// read reads one line: a look, or one more organism of a look before.
func (t *lines) read(r row) {
	t.faulty = false
	at := t.moment(r)
	target := t.target(r)
	look := Look{Line: r.line, Look: scouting.Look{LookedAt: at, Targets: []scouting.Target{target}, LookedOn: domain.DateOf(at.In(t.options.Zone))}}
	t.where(r, &look)
	t.observer(r, &look)
	t.besides(r, &look)
	t.lotOf(r, &look, target.PlantsLookedAt)
	if t.faulty {
		t.BadLines++
		return
	}
	key := t.cell(r, LookKey)
	if i, more := t.byKey[key]; more && key != "" {
		t.more(r, &t.Looks[i], look)
		return
	}
	if key != "" {
		t.byKey[key] = len(t.Looks)
	}
	t.Looks = append(t.Looks, look)
}

// more joins a line to the look whose key it has.
func (t *lines) more(r row, look *Look, line Look) {
	if look.BlockID != line.BlockID || look.LotID != line.LotID || !look.LookedAt.Equal(line.LookedAt) {
		t.wrong(r, LookKey, "other_look", "Line %d has the same look, of another block, lot or moment.", look.Line)
		t.BadLines++
		return
	}
	for _, before := range look.Targets {
		if before.OrganismID == line.Targets[0].OrganismID {
			t.wrong(r, OrganismName, "twice", "Line %d names the same organism for the same look.", look.Line)
			t.BadLines++
			return
		}
	}
	look.Targets = append(look.Targets, line.Targets...)
}

// moment reads when it was looked. Where no time is told it is noon at the site, so
// that the day is the same wherever it is read.
func (t *lines) moment(r row) time.Time {
	cell := t.cell(r, LookedOn)
	if cell == "" {
		t.wrong(r, LookedOn, "missing", "The date is missing.")
		return time.Time{}
	}
	day, clock := splitMoment(cell)
	on, ok := readDate(day, t.Dates)
	if !ok {
		t.wrong(r, LookedOn, "not_a_date", "%q is no date that is read as %s.", cell, t.Dates)
		return time.Time{}
	}
	since := 12 * time.Hour
	kind := LookedOn
	if more := t.cell(r, LookedAt); more != "" {
		if whole, err := time.Parse(time.RFC3339, more); err == nil {
			if domain.DateOf(whole.In(t.options.Zone)) != on {
				t.wrong(r, LookedAt, "other_day", "%q is not on %s.", more, on)
			}
			return t.notAhead(r, LookedAt, whole)
		}
		_, inner := splitMoment(more)
		if inner == "" || !strings.ContainsAny(inner, ":.") {
			inner = more
		}
		clock, kind = inner, LookedAt
	}
	if clock != "" {
		if since, ok = readClock(clock); !ok {
			t.wrong(r, kind, "not_a_time", "%q is no time of the day.", clock)
		}
	}
	at := time.Date(on.Year(), on.Time().Month(), on.Time().Day(), 0, 0, 0, 0, t.options.Zone)
	seconds := int(since / time.Second)
	at = time.Date(at.Year(), at.Month(), at.Day(), seconds/3600, seconds/60%60, seconds%60, 0, t.options.Zone)
	return t.notAhead(r, LookedOn, at)
}

func (t *lines) notAhead(r row, kind Kind, at time.Time) time.Time {
	if domain.DateOf(at.In(t.options.Zone)).After(domain.DateOf(t.options.Now.In(t.options.Zone))) {
		t.wrong(r, kind, "in_the_future", "This day has not come yet.")
	}
	return at.UTC()
}

// target reads the counts.
func (t *lines) target(r row) scouting.Target {
	target := scouting.Target{}
	if cell := t.cell(r, SignsLookedFor); cell != "" {
		yes, ok := yesOrNo(cell)
		if !ok {
			t.wrong(r, SignsLookedFor, "not_yes_or_no", "%q is neither yes nor no.", cell)
		}
		target.SignsLookedFor = yes
	}
	if cell := t.cell(r, OrganismName); cell == "" {
		t.wrong(r, OrganismName, "missing", "The organism is missing.")
	} else if name := t.names.find(OrganismName, cell, r.line, stock.NameKey(cell)); name.Fault != "" {
		t.wrong(r, OrganismName, name.Fault, "%s", t.whyNot(name))
	} else {
		target.OrganismID = name.ID
	}
	target.PlantsLookedAt = t.count(r, PlantsLookedAt)
	target.InfestedPlants = t.count(r, InfestedPlants)
	switch looked, infested := target.PlantsLookedAt, target.InfestedPlants; {
	case looked < 0 || infested < 0:
	case looked == 0:
		t.wrong(r, PlantsLookedAt, "no_plants", "No plants were looked at, so the line says nothing.")
	case infested > looked:
		t.wrong(r, InfestedPlants, "more_infested_than_looked_at", "%d plants infested of %d looked at.", infested, looked)
	default:
		t.comparePercent(r, looked, infested)
	}
	return target
}

// count reads a count; -1 where it is none.
func (t *lines) count(r row, kind Kind) int {
	cell := t.cell(r, kind)
	if cell == "" {
		t.wrong(r, kind, "missing", "The count is missing.")
		return -1
	}
	if n, ok := readCount(cell, t.Decimal); ok {
		if n > mostPlants {
			t.wrong(r, kind, "too_large", "More than %d plants in one look.", mostPlants)
			return -1
		}
		return n
	}
	if strings.Contains(cell, "%") {
		t.wrong(r, kind, "percent_without_counts", "%s", percentAlone)
	} else {
		t.wrong(r, kind, "not_a_count", "%q is no whole number of plants.", cell)
	}
	return -1
}

// mostPlants is the most plants of a tally, that of the contract.
const mostPlants = 5000

// comparePercent holds a percentage in the file against the counts beside it. It
// may be rounded to a whole number.
func (t *lines) comparePercent(r row, looked, infested int) {
	cell := t.cell(r, InfestedPercent)
	if cell == "" {
		return
	}
	percent, ok := readPercent(cell)
	if !ok {
		t.wrong(r, InfestedPercent, "not_a_percentage", "%q is no percentage.", cell)
		return
	}
	share := float64(infested) / float64(looked)
	if math.Abs(100*share-percent) > 0.51 && math.Abs(share-percent) > 0.0051 { // 12 for 12 %, or 0.12 for it
		t.wrong(r, InfestedPercent, "percent_disagrees", "%d of %d plants are %.1f %%, not %s.", infested, looked, 100*share, cell)
	}
}

// where reads the block.
func (t *lines) where(r row, look *Look) {
	var house *Name
	if cell := t.cell(r, HouseName); cell != "" {
		house = t.names.house(cell, r.line)
		if house.Fault != "" {
			t.wrong(r, HouseName, house.Fault, "%s", t.whyNot(house))
			return
		}
	}
	cell := t.cell(r, BlockName)
	if cell == "" {
		t.wrong(r, BlockName, "missing", "The block is missing.")
		return
	}
	block := t.names.block(house, cell, r.line)
	if block.Fault != "" {
		t.wrong(r, BlockName, block.Fault, "%s", t.whyNot(block))
	}
	look.BlockID = block.ID
}

// observer reads who looked. A name that none of our people has is kept as text.
func (t *lines) observer(r row, look *Look) {
	cell := t.cell(r, ObserverName)
	if cell == "" {
		return
	}
	if len(cell) > mostName {
		t.wrong(r, ObserverName, "too_long", "The name is longer than %d letters.", mostName)
		return
	}
	name := t.names.find(ObserverName, cell, r.line, stock.NameKey(cell))
	if look.ObserverID = name.ID; name.ID.IsZero() {
		name.Fault = "" // nobody has to be known to have looked
		look.LookedBy = cell
	}
}

// besides reads what is noted besides the counts.
func (t *lines) besides(r row, look *Look) {
	look.Purpose = scouting.Planned
	switch stock.NameKey(t.cell(r, Purpose)) {
	case "", "planned", "plan", "routine", "planificado", "planeado", "rutina":
	case "onpurpose", "hotspot", "spot", "aproposito", "foco", "dirigido":
		look.Purpose = scouting.OnPurpose
	default:
		t.wrong(r, Purpose, "not_known", "The purpose is planned or on_purpose.")
	}
	look.CropStage, look.HotSpot = scouting.CropStage(t.cell(r, CropStage)), t.cell(r, HotSpot)
	if look.Note = t.cell(r, Note); utf8.RuneCountInString(look.Note) > mostNote {
		t.wrong(r, Note, "too_long", "The note is longer than %d letters.", mostNote)
	}
	if cell := t.cell(r, Seconds); cell != "" {
		n, ok := readCount(cell, t.Decimal)
		if !ok {
			t.wrong(r, Seconds, "not_a_count", "%q is no whole number of seconds.", cell)
		}
		look.Seconds = n
	}
}

// lotOf reads which lot was looked at.
func (t *lines) lotOf(r row, look *Look, plants int) {
	said := lotSaid{code: t.cell(r, LotCode), lookedOn: domain.DateOf(look.LookedAt.In(t.options.Zone)), plants: plants, line: r.line}
	if cell := t.cell(r, CultivarName); cell != "" {
		if said.cultivar = t.names.cultivar(cell, r.line); said.cultivar.Fault != "" {
			t.wrong(r, CultivarName, said.cultivar.Fault, "%s", t.whyNot(said.cultivar))
			return
		}
	}
	if cell := t.cell(r, SupplierName); cell != "" {
		said.supplier = t.names.supplier(cell, r.line)
	}
	if cell := t.cell(r, ArrivedOn); cell != "" {
		day, _ := splitMoment(cell)
		on, ok := readDate(day, t.Dates)
		if !ok {
			t.wrong(r, ArrivedOn, "not_a_date", "%q is no date that is read as %s.", cell, t.Dates)
			return
		}
		said.arrivedOn = on
	}
	if t.faulty {
		return
	}
	if !said.arrivedOn.IsZero() && said.arrivedOn.After(said.lookedOn) {
		t.wrong(r, ArrivedOn, "after_the_look", "The lot arrived on %s, after it was looked at.", said.arrivedOn)
		return
	}
	id, fault := t.names.lot(said)
	switch look.LotID = id; fault {
	case "":
	case notKnown:
		t.names.find(LotCode, said.code, r.line, stock.NameKey(said.code))
		t.wrong(r, LotCode, notKnown, "No lot %q stood here on %s.", said.code, said.lookedOn)
	case severalFit:
		t.wrong(r, LotCode, severalFit, "Several lots are called %q.", said.code)
	case "lot_needs_cultivar":
		t.wrong(r, CultivarName, fault, "A lot can be made only of a known cultivar.")
	case "lot_needs_arrival":
		t.wrong(r, ArrivedOn, fault, "A lot can be made only with its day of arrival.")
	case "lot_needs_supplier":
		t.wrong(r, SupplierName, fault, "A lot can be made only of a known supplier.")
	}
}

func (t *lines) whyNot(name *Name) string {
	if name.Fault == severalFit {
		return "Several are called \"" + name.Text + "\"."
	}
	return "There is no \"" + name.Text + "\" here."
}

func yesOrNo(cell string) (yes, ok bool) {
	switch stock.NameKey(cell) {
	case "yes", "y", "si", "s", "true", "1", "x", "verdadero":
		return true, true
	case "no", "n", "false", "0", "falso":
		return false, true
	}
	return false, false
}

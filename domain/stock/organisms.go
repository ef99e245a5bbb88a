package stock

import (
	_ "embed"
	"encoding/json"
	"fmt"
)

// The list keeps the EPPO codes that were seen on a page of EPPO, EFSA or the
// European RNQP project, with the place in code_source; a code that was not seen
// is left out. A regulated note stands only where finding the organism brings a
// duty to the plant health authority; it is a caution and no legal advice. The
// stages are common practice: any living one counts. Spanish names are common
// practice too; the other Spanish texts say what the English ones say.
//
//go:embed organisms.json
var starterOrganisms string

// StarterOrganisms gives the pests and diseases that a new organisation begins
// with, without ids. It fails only when the list in the program is broken.
func StarterOrganisms() ([]Organism, error) {
	var list []struct {
		ScientificName  string   `json:"scientific_name"`
		CommonName      string   `json:"common_name"`
		CommonNameES    string   `json:"common_name_es"`
		EPPOCode        string   `json:"eppo_code"`
		Kind            string   `json:"kind"`
		WhereToLook     string   `json:"where_to_look"`
		WhereToLookES   string   `json:"where_to_look_es"`
		RegulatedNote   string   `json:"regulated_note"`
		RegulatedNoteES string   `json:"regulated_note_es"`
		InfestedStages  []string `json:"infested_stages"`
	}
	if err := json.Unmarshal([]byte(starterOrganisms), &list); err != nil {
		return nil, fmt.Errorf("starter list of organisms: %w", err)
	}
	organisms := make([]Organism, len(list))
	for i, o := range list {
		organisms[i] = Organism{
			ScientificName: o.ScientificName, CommonName: o.CommonName, CommonNameES: o.CommonNameES,
			EPPOCode: o.EPPOCode, Kind: o.Kind, WhereToLook: o.WhereToLook, WhereToLookES: o.WhereToLookES,
			RegulatedNote: o.RegulatedNote, RegulatedNoteES: o.RegulatedNoteES, InfestedStages: o.InfestedStages,
		}
	}
	return organisms, nil
}

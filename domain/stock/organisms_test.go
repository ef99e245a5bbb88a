package stock_test

import (
	"encoding/json"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
)

func organismsByName(t *testing.T) map[string]stock.Organism {
	t.Helper()
	organisms, err := stock.StarterOrganisms()
	require.NoError(t, err)
	byName := map[string]stock.Organism{}
	for _, o := range organisms {
		require.NotContains(t, byName, o.ScientificName, "each is listed once")
		byName[o.ScientificName] = o
	}
	return byName
}

// EPPO codes of pests have six characters, those of higher taxa begin with a
// digit (EPPO Global Database, about EPPO codes).
func TestEveryStarterOrganismIsFilledIn(t *testing.T) {
	t.Parallel()
	kinds := []string{"insect", "mite", "fungus", "bacterium", "virus", "oomycete", "nematode", "other"}
	code := regexp.MustCompile(`^[A-Z0-9]{6}$`)
	codes := map[string]string{}
	for name, o := range organismsByName(t) {
		require.True(t, o.ID.IsZero(), name)
		require.NotEmpty(t, o.ScientificName)
		require.NotEmpty(t, o.CommonName, name)
		require.NotEmpty(t, o.CommonNameES, name)
		require.NotEmpty(t, o.WhereToLook, name)
		require.NotEmpty(t, o.WhereToLookES, name)
		require.NotEqual(t, o.WhereToLook, o.WhereToLookES, name)
		require.Contains(t, kinds, o.Kind, name)
		require.LessOrEqual(t, len(o.WhereToLook), 400, name)
		require.LessOrEqual(t, len(o.WhereToLookES), 400, name)
		require.LessOrEqual(t, len(o.RegulatedNote), 400, name)
		require.LessOrEqual(t, len(o.RegulatedNoteES), 400, name)
		if o.EPPOCode != "" {
			require.Regexp(t, code, o.EPPOCode, name)
			require.Empty(t, codes[o.EPPOCode], "%s has the code of %s", name, codes[o.EPPOCode])
			codes[o.EPPOCode] = name
		}
	}
	require.NotEmpty(t, codes)
}

// Codes as pages of the EPPO Global Database (gd.eppo.int) show them.
func TestTheStarterListKnowsThePestsOfPoinsettia(t *testing.T) {
	t.Parallel()
	byName := organismsByName(t)
	for name, code := range map[string]string{
		"Bemisia tabaci": "BEMITA", "Trialeurodes vaporariorum": "TRIAVA", "Eotetranychus lewisi": "EOTELE", "Tetranychus urticae": "TETRUR",
		"Frankliniella occidentalis": "FRANOC", "Botrytis cinerea": "BOTRCI", "Ralstonia solanacearum species complex": "RALSSO",
		"Puccinia horiana": "PUCCHN",
	} {
		require.Equal(t, code, byName[name].EPPOCode, name)
	}
}

func TestEveryCodeNamesWhereItWasSeenAndNoOtherIsGiven(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("organisms.json")
	require.NoError(t, err)
	var list []map[string]any
	require.NoError(t, json.Unmarshal(text, &list))
	organisms, err := stock.StarterOrganisms()
	require.NoError(t, err)
	require.Len(t, organisms, len(list))
	for i, entry := range list {
		require.Equal(t, entry["scientific_name"], organisms[i].ScientificName)
		require.Equal(t, entry["eppo_code"] == "", entry["code_source"] == "", "%s", entry["scientific_name"])
		require.Len(t, entry, 11, "%s has fields nobody reads", entry["scientific_name"])
	}
}

// A plant is infested by any living stage (common practice); diseases are judged
// by their symptoms.
func TestStagesAreThoseThatCanBeNoted(t *testing.T) {
	t.Parallel()
	living := []string{
		string(scouting.Egg), string(scouting.SmallNymph), string(scouting.LargeNymph), string(scouting.Pupa), string(scouting.Adult),
	}
	for name, o := range organismsByName(t) {
		require.NotNil(t, o.InfestedStages, name)
		if o.Kind != "insect" && o.Kind != "mite" {
			require.Empty(t, o.InfestedStages, name)
			continue
		}
		require.Subset(t, living, o.InfestedStages, name)
		require.Contains(t, o.InfestedStages, "adult", name)
		require.Len(t, slices.Compact(slices.Sorted(slices.Values(o.InfestedStages))), len(o.InfestedStages), name)
		if o.Kind == "mite" {
			require.NotContains(t, o.InfestedStages, "pupa", "%s: mites do not pupate", name)
		}
	}
	for _, whitefly := range []string{"Bemisia tabaci", "Trialeurodes vaporariorum"} {
		require.ElementsMatch(t, living, organismsByName(t)[whitefly].InfestedStages)
	}
}

// A regulated note makes an arrival be held, so it stands only where there is a
// duty: not for pests that are merely listed or have a tolerance in plants for
// planting (regulated non-quarantine pests).
func TestOnlyADutyIsARegulatedNote(t *testing.T) {
	t.Parallel()
	byName := organismsByName(t)
	for _, duty := range []string{"Bemisia tabaci", "Eotetranychus lewisi", "Ralstonia solanacearum species complex", "Thrips palmi", "Puccinia horiana"} {
		require.NotEmpty(t, byName[duty].RegulatedNote, duty)
	}
	for _, none := range []string{
		"Trialeurodes vaporariorum", "Frankliniella occidentalis", "Tetranychus urticae", "Phytophthora spp.",
		"Xanthomonas axonopodis pv. poinsettiicola", "Orthotospovirus impatiensnecromaculae", "Chrysanthemum stunt viroid",
	} {
		require.Contains(t, byName, none)
		require.Empty(t, byName[none].RegulatedNote, none)
	}
}

// A reader of Spanish gets every caution that a reader of English gets, with the
// same admission where it was not looked up.
func TestARegulatedNoteStandsInBothLanguagesOrInNone(t *testing.T) {
	t.Parallel()
	for name, o := range organismsByName(t) {
		require.Equal(t, o.RegulatedNote == "", o.RegulatedNoteES == "", name)
		if o.RegulatedNote == "" {
			continue
		}
		require.NotEqual(t, o.RegulatedNote, o.RegulatedNoteES, name)
		for english, spanish := range map[string]string{
			"European Union": "Unión Europea", "United Kingdom": "Reino Unido", "United States": "Estados Unidos", "from memory": "de memoria",
			"plant health authority": "autoridad fitosanitaria", "throw nothing out": "no tire nada",
		} {
			require.Equal(t, strings.Contains(o.RegulatedNote, english), strings.Contains(o.RegulatedNoteES, spanish), "%s: %s", name, english)
		}
	}
}

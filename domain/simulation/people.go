package simulation

import "benchtrail/domain/scouting"

// Person is somebody who records. Who they are, with an account and an id, is
// made outside the season.
type Person struct {
	Key   string // what Event.By and Known.People name
	Name  string // an invented first name
	Role  string // receiver, grower or owner
	Sites []int  // where, as the order of the sites among the events; empty: every site
}

// The keys of the persons whom a demo signs in as.
const (
	Owner    = "owner"
	Receiver = "receiver"
	Grower   = "grower" // looks after the first section of the first site
)

// People gives everybody who records in a season.
func People() []Person {
	return []Person{
		{Owner, "Odrun", "owner", nil},
		{Receiver, "Perrick", "receiver", []int{0, 1, 2}},
		{Grower, "Halvi", "grower", []int{0}},
		{"mirrin", "Mirrin", "grower", []int{0}},
		{"jorvel", "Jorvel", "grower", []int{1}},
		{"sanneke", "Sanneke", "grower", []int{1}},
		{"calix", "Calix", "grower", []int{2}},
	}
}

// eye is how a person scouts.
type eye struct {
	sees    float64 // share of the infested plants that others would see as well
	tallies float64 // share of looks written down as a tally
	signs   float64 // share of looks with the signs of each plant noted
	walks   float64 // share of the blocks of a house looked at in a week
	seconds int     // for a plant with nothing to note
}

func eyeOf(key string) eye {
	switch key {
	case Grower:
		return eye{0.95, 0.12, 0.45, 0.97, 9}
	case "mirrin":
		return eye{0.97, 0.05, 0.55, 0.95, 11}
	case "jorvel":
		return eye{0.87, 0.45, 0.15, 0.86, 6}
	case "sanneke":
		return eye{0.95, 0.15, 0.40, 0.97, 9}
	default:
		return eye{0.91, 0.20, 0.30, 0.96, 8}
	}
}

// secondsFor is what a phone measures of a look plant by plant: the plants, and writing
// down what is on them. A tally has no time, as on a phone.
func (e eye) secondsFor(t scouting.Target) int {
	const perFind, perSign = 3, 4
	seconds := e.seconds * len(t.Plants)
	for _, p := range t.Plants {
		if p.Seen {
			seconds += perFind
		}
		seconds += perSign * len(p.Signs)
	}
	return seconds
}

// standIn gives who walks a house when its grower cannot.
func standIn(key string) string {
	switch key {
	case Grower:
		return "mirrin"
	case "mirrin":
		return Grower
	case "jorvel":
		return "sanneke"
	case "sanneke":
		return "jorvel"
	default:
		return Receiver
	}
}

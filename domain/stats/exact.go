package stats

import "math"

// FisherTest is the outcome of the exact test of two shares, given how many were
// examined in each group and how many were infested in all. Chances from 0 to 1;
// below some 1e-300 they are given as 0.
type FisherTest struct {
	// P is two-sided: the chance of all tables that are as likely as the observed
	// one or less likely.
	P       float64
	Less    float64 // the chance that the first group has as few infested, or fewer
	Greater float64 // the chance that it has as many, or more
}

// FisherExact tests whether two groups may have the same infested share. It holds
// however small the counts are. Errors are [domain.Faults] with paths such as
// /groups/0/examined.
// Fisher (1935), J. R. Stat. Soc. 98:39-82; two-sided as in Freeman and Halton
// (1951), Biometrika 38:141-149.
func FisherExact(first, second Proportion) (FisherTest, error) {
	var args arguments
	args.eachProportion("/groups", []Proportion{first, second})
	if err := args.Err(); err != nil {
		return FisherTest{}, err
	}
	t := fixedMargins{
		drawn:    first.Examined,
		rest:     second.Examined,
		infested: first.Infested + second.Infested,
	}
	observed := t.termAt(first.Infested)
	// Tables equally likely by symmetry differ by the rounding of up to a million
	// factors.
	const alike = 1 + 1e-7
	var total, asUnlikely, below, above float64
	t.walk(func(x int, term float64) {
		total += term
		if term <= observed*alike {
			asUnlikely += term
		}
		if x <= first.Infested {
			below += term
		}
		if x >= first.Infested {
			above += term
		}
	})
	return FisherTest{
		P:       math.Min(asUnlikely/total, 1),
		Less:    math.Min(below/total, 1),
		Greater: math.Min(above/total, 1),
	}, nil
}

// fixedMargins is the hypergeometric distribution of the infested units among
// those drawn. Terms are relative to the most likely one, which is 1.
type fixedMargins struct{ drawn, rest, infested int }

func (t fixedMargins) ends() (least, most int) {
	return max(0, t.infested-t.rest), min(t.drawn, t.infested)
}

func (t fixedMargins) likeliest() int {
	least, most := t.ends()
	mode := int(float64(t.drawn+1) * (float64(t.infested+1) / float64(t.drawn+t.rest+2)))
	return max(least, min(most, mode))
}

// up is the term of x+1 over that of x.
func (t fixedMargins) up(x int) float64 {
	return float64(t.infested-x) / float64(x+1) * float64(t.drawn-x) / float64(t.rest-t.infested+x+1)
}

// vanished is where a term no longer counts. Below it floats lose their digits, and
// the smallest one times 0.9 is itself again, so that the walk would not end.
const vanished = 1e-307

// walk visits the terms from the likeliest outwards until they vanish: at most
// some 38 standard deviations to either side, under a million steps in all.
func (t fixedMargins) walk(visit func(x int, term float64)) {
	least, most := t.ends()
	mode := t.likeliest()
	visit(mode, 1)
	term := 1.0
	for x := mode; x < most && term > vanished; x++ {
		term *= t.up(x)
		visit(x+1, term)
	}
	term = 1.0
	for x := mode; x > least && term > vanished; x-- {
		term /= t.up(x - 1)
		visit(x-1, term)
	}
}

func (t fixedMargins) termAt(wanted int) float64 {
	found := 0.0
	t.walk(func(x int, term float64) {
		if x == wanted {
			found = term
		}
	})
	return found
}

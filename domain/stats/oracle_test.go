package stats_test

import "math/big"

// chanceToOverlook is the defining sum in exact fractions, for small lots only:
// sum over i of C(D,i) C(N-D,n-i) / C(N,n) * (1-sensitivity)^i.
func chanceToOverlook(lot, infested, examined int, sensitivity *big.Rat) *big.Rat {
	choose := func(n, k int) *big.Int { return new(big.Int).Binomial(int64(n), int64(k)) }
	overlook := new(big.Rat).Sub(big.NewRat(1, 1), sensitivity)
	power := big.NewRat(1, 1)
	sum := new(big.Rat)
	for i := 0; i <= min(infested, examined); i++ {
		if examined-i <= lot-infested {
			ways := new(big.Int).Mul(choose(infested, i), choose(lot-infested, examined-i))
			sum.Add(sum, new(big.Rat).Mul(new(big.Rat).SetInt(ways), power))
		}
		power = new(big.Rat).Mul(power, overlook)
	}
	return sum.Quo(sum, new(big.Rat).SetInt(choose(lot, examined)))
}

// smallestSampleByCounting tries every sample size in turn; 0 when none will do.
func smallestSampleByCounting(lot, infested int, confidence, sensitivity *big.Rat) int {
	limit := new(big.Rat).Sub(big.NewRat(1, 1), confidence)
	for n := 1; n <= lot; n++ {
		if chanceToOverlook(lot, infested, n, sensitivity).Cmp(limit) <= 0 {
			return n
		}
	}
	return 0
}

package stats

// Method names how a number was come by.
type Method string

// The methods of this package.
const (
	MethodWilson           Method = "wilson"
	MethodClopperPearson   Method = "clopper-pearson"
	MethodJeffreys         Method = "jeffreys"
	MethodModifiedJeffreys Method = "modified-jeffreys"

	MethodZeroUpperLimit            Method = "zero-upper-limit"
	MethodHypergeometric            Method = "hypergeometric"
	MethodHypergeometricSensitivity Method = "hypergeometric-sensitivity"
	MethodBinomial                  Method = "binomial"

	MethodNewcombe          Method = "newcombe"
	MethodSequential        Method = "sequential"
	MethodSingleSine        Method = "single-sine"
	MethodAverage           Method = "average"
	MethodLargestRemainders Method = "largest-remainders"
)

// Source cites where the method is written down; it is empty for an unknown method.
func (m Method) Source() string {
	switch m {
	case MethodWilson:
		return "Wilson EB (1927), J. Am. Stat. Assoc. 22:209-212; method 3 in Newcombe RG (1998), Stat. Med. 17:857-872"
	case MethodClopperPearson:
		return "Clopper CJ, Pearson ES (1934), Biometrika 26:404-413; method 5 in Newcombe RG (1998), Stat. Med. 17:857-872"
	case MethodJeffreys:
		return "Brown LD, Cai TT, DasGupta A (2001), Stat. Sci. 16:101-133, section 3.1.3"
	case MethodModifiedJeffreys:
		return "Brown LD, Cai TT, DasGupta A (2001), Stat. Sci. 16:101-133, section 4.1.2"
	case MethodZeroUpperLimit:
		return "One-sided exact binomial limit with no find, 1-(1-confidence)^(1/n): Clopper CJ, Pearson ES (1934), Biometrika 26:404-413"
	case MethodHypergeometric:
		return "ISPM 31 (FAO/IPPC, 2008), appendix 2: hypergeometric, infested units rounded down"
	case MethodHypergeometricSensitivity:
		return "ISPM 31 (FAO/IPPC, 2008), appendix 2: hypergeometric, infested units rounded down; each infested unit in the sample recognised with the given sensitivity, exact sum"
	case MethodBinomial:
		return "ISPM 31 (FAO/IPPC, 2008), appendix 3: binomial, with the sensitivity multiplied into the level"
	case MethodNewcombe:
		return "Method 10 in Newcombe RG (1998), Stat. Med. 17:873-890"
	case MethodSequential:
		return "Wald A (1947), Sequential Analysis, sections 5.3 and 3.8; exact chances by recursion over the counts"
	case MethodSingleSine:
		return "Baskerville GL, Emin P (1969), Ecology 50:514-517; horizontal cutoff as in Zalom FG et al. (1983), University of California Leaflet 21373"
	case MethodAverage:
		return "Method 1 in McMaster GS, Wilhelm WW (1997), Agric. For. Meteorol. 87:291-300: the mean of minimum and maximum less the base"
	case MethodLargestRemainders:
		return "Proportional allocation, Cochran WG (1977), Sampling Techniques, chapter 5; largest remainders, Balinski ML, Young HP (1982), Fair Representation"
	}
	return ""
}

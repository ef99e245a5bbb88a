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
	}
	return ""
}

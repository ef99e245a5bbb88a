package stock

import (
	"strings"
	"unicode"
)

// longestName is the longest text, in bytes, that can be a name.
const longestName = 1000

// NameKey is what two spellings of a name have in common: its letters and digits,
// without case, accents, spaces and marks. Letters of other scripts are kept. A text too long for a name has none.
func NameKey(name string) string {
	if len(name) > longestName {
		return ""
	}
	var key strings.Builder
	for _, r := range name {
		r = unicode.ToLower(r)
		if plain := plainLatin(r); plain != "" {
			key.WriteString(plain)
		} else if unicode.IsLetter(r) || unicode.IsDigit(r) {
			key.WriteRune(r)
		}
	}
	return key.String()
}

// plainLatin gives the letters a small accented Latin letter is written with
// where accents are left out, and nothing for any other sign.
func plainLatin(r rune) string {
	switch r {
	case 'á', 'à', 'â', 'ä', 'ã', 'å', 'ā', 'ă', 'ą', 'ª':
		return "a"
	case 'æ':
		return "ae"
	case 'ç', 'ć', 'č', 'ĉ', 'ċ':
		return "c"
	case 'ď', 'đ', 'ð':
		return "d"
	case 'é', 'è', 'ê', 'ë', 'ē', 'ĕ', 'ė', 'ę', 'ě':
		return "e"
	case 'ĝ', 'ğ', 'ġ', 'ģ':
		return "g"
	case 'ĥ', 'ħ':
		return "h"
	case 'í', 'ì', 'î', 'ï', 'ĩ', 'ī', 'ĭ', 'į', 'ı':
		return "i"
	case 'ĵ':
		return "j"
	case 'ķ':
		return "k"
	case 'ĺ', 'ļ', 'ľ', 'ŀ', 'ł':
		return "l"
	case 'ñ', 'ń', 'ņ', 'ň':
		return "n"
	case 'ó', 'ò', 'ô', 'ö', 'õ', 'ø', 'ō', 'ŏ', 'ő', 'º':
		return "o"
	case 'œ':
		return "oe"
	case 'ŕ', 'ŗ', 'ř':
		return "r"
	case 'ś', 'ŝ', 'ş', 'š', 'ș':
		return "s"
	case 'ß':
		return "ss"
	case 'ţ', 'ť', 'ŧ', 'ț':
		return "t"
	case 'ú', 'ù', 'û', 'ü', 'ũ', 'ū', 'ŭ', 'ů', 'ű', 'ų':
		return "u"
	case 'ŵ':
		return "w"
	case 'ý', 'ÿ', 'ŷ':
		return "y"
	case 'ź', 'ż', 'ž':
		return "z"
	}
	return ""
}

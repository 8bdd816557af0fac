package font

// Forms of the Arabic letters.
//
// Method: a letter joins the one before it where that one joins onwards, and
// the one after it where it joins onwards itself; the pair says whether the
// isolated, final, initial or medial form is printed. Lam and alef make one sign.
// Source: the Unicode Standard, Arabic presentation forms A and B, chapter 9.2.

// forms are isolated, final, initial, medial; a letter with two forms does not
// join onwards.
var forms = map[rune][]rune{
	'ء': {0xfe80}, 'آ': {0xfe81, 0xfe82}, 'أ': {0xfe83, 0xfe84}, 'ؤ': {0xfe85, 0xfe86}, 'إ': {0xfe87, 0xfe88},
	'ئ': {0xfe89, 0xfe8a, 0xfe8b, 0xfe8c}, 'ا': {0xfe8d, 0xfe8e}, 'ب': {0xfe8f, 0xfe90, 0xfe91, 0xfe92},
	'ة': {0xfe93, 0xfe94}, 'ت': {0xfe95, 0xfe96, 0xfe97, 0xfe98}, 'ث': {0xfe99, 0xfe9a, 0xfe9b, 0xfe9c},
	'ج': {0xfe9d, 0xfe9e, 0xfe9f, 0xfea0}, 'ح': {0xfea1, 0xfea2, 0xfea3, 0xfea4}, 'خ': {0xfea5, 0xfea6, 0xfea7, 0xfea8},
	'د': {0xfea9, 0xfeaa}, 'ذ': {0xfeab, 0xfeac}, 'ر': {0xfead, 0xfeae}, 'ز': {0xfeaf, 0xfeb0},
	'س': {0xfeb1, 0xfeb2, 0xfeb3, 0xfeb4}, 'ش': {0xfeb5, 0xfeb6, 0xfeb7, 0xfeb8}, 'ص': {0xfeb9, 0xfeba, 0xfebb, 0xfebc},
	'ض': {0xfebd, 0xfebe, 0xfebf, 0xfec0}, 'ط': {0xfec1, 0xfec2, 0xfec3, 0xfec4}, 'ظ': {0xfec5, 0xfec6, 0xfec7, 0xfec8},
	'ع': {0xfec9, 0xfeca, 0xfecb, 0xfecc}, 'غ': {0xfecd, 0xfece, 0xfecf, 0xfed0}, 'ف': {0xfed1, 0xfed2, 0xfed3, 0xfed4},
	'ق': {0xfed5, 0xfed6, 0xfed7, 0xfed8}, 'ك': {0xfed9, 0xfeda, 0xfedb, 0xfedc}, 'ل': {0xfedd, 0xfede, 0xfedf, 0xfee0},
	'م': {0xfee1, 0xfee2, 0xfee3, 0xfee4}, 'ن': {0xfee5, 0xfee6, 0xfee7, 0xfee8}, 'ه': {0xfee9, 0xfeea, 0xfeeb, 0xfeec},
	'و': {0xfeed, 0xfeee}, 'ى': {0xfeef, 0xfef0}, 'ي': {0xfef1, 0xfef2, 0xfef3, 0xfef4},
	'پ': {0xfb56, 0xfb57, 0xfb58, 0xfb59}, 'ٹ': {0xfb66, 0xfb67, 0xfb68, 0xfb69}, 'چ': {0xfb7a, 0xfb7b, 0xfb7c, 0xfb7d},
	'ڈ': {0xfb88, 0xfb89}, 'ژ': {0xfb8a, 0xfb8b}, 'ڑ': {0xfb8c, 0xfb8d}, 'ک': {0xfb8e, 0xfb8f, 0xfb90, 0xfb91},
	'گ': {0xfb92, 0xfb93, 0xfb94, 0xfb95}, 'ں': {0xfb9e, 0xfb9f}, 'ھ': {0xfbaa, 0xfbab, 0xfbac, 0xfbad}, 'ی': {0xfbfc, 0xfbfd, 0xfbfe, 0xfbff},
}

// lamAlef are the signs of lam with an alef: isolated, final.
var lamAlef = map[rune][2]rune{'آ': {0xfef5, 0xfef6}, 'أ': {0xfef7, 0xfef8}, 'إ': {0xfef9, 0xfefa}, 'ا': {0xfefb, 0xfefc}}

const (
	lam      = 'ل'
	tatweel  = 0x640
	joiner   = 0x200d
	firstVow = 0x64b // vowel signs stand on a letter and do not part its neighbours
	lastVow  = 0x65f
)

// join gives Arabic letters, in reading order, the forms that join them.
func join(letters []rune) []rune {
	out := make([]rune, 0, len(letters))
	for i := 0; i < len(letters); i++ {
		r := letters[i]
		f := forms[r]
		if f == nil {
			out = append(out, r)
			continue
		}
		before := joinsOn(neighbour(letters, i, -1))
		if r == lam && i+1 < len(letters) {
			if sign, ok := lamAlef[letters[i+1]]; ok {
				out = append(out, sign[number(before)])
				i++
				continue
			}
		}
		after := len(f) == 4 && joinsBack(neighbour(letters, i, 1))
		k := number(before) + 2*number(after)
		if k >= len(f) {
			k = 0
		}
		out = append(out, f[k])
	}
	return out
}

// neighbour is the next letter in a direction, vowel signs passed over; 0 at the end.
func neighbour(letters []rune, i, step int) rune {
	for i += step; i >= 0 && i < len(letters); i += step {
		if r := letters[i]; r < firstVow || r > lastVow {
			return r
		}
	}
	return 0
}

// joinsOn says that the letter joins the one after it.
func joinsOn(r rune) bool { return len(forms[r]) == 4 || r == tatweel || r == joiner }

// joinsBack says that the letter joins the one before it.
func joinsBack(r rune) bool { return len(forms[r]) >= 2 || r == tatweel || r == joiner }

func number(b bool) int {
	if b {
		return 1
	}
	return 0
}

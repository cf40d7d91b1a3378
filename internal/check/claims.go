package check

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// claimSource is what makes a product that is said to treat, cure or prevent a drug or medicine, or a cosmetic's claim untrue.
const claimSource = "US FD&C Act 201(g)(1), 21 U.S.C. 321(g)(1); EU Reg. 1223/2009 Art. 2(1)(a) and Art. 20, EU Directive 2001/83/EC Art. 1(2); from memory"

// A page is what is read off the words of a recipe's page, once for all of its versions.
type page struct {
	words    string
	promises kept[[]Finding]
	sun      kept[bool]
	room     []Finding // for one version after the other
}

// presentsSunCare says whether the words present the product as one that keeps the sun off.
func (p *page) presentsSunCare() bool {
	return p.sun.get(func() bool { return sunWords.MatchString(p.words) })
}

// drugClaims finds words that promise to treat, cure or prevent, or that name a sun protection factor, each once. A sentence that
// denies it, warns or sends people to a doctor is no promise, and the trade has its own uses: soap cures, a treat is a gift.
func drugClaims(s *inspection) []Finding { return s.page.promises.get(s.page.findPromises) }

func (p *page) findPromises() []Finding {
	if !mayPromise(p.words) {
		return nil
	}
	var found []Finding
	var told []string
	for _, sentence := range sentences(p.words) {
		for _, words := range promises(sentence) {
			key := strings.ToLower(words)
			if slices.Contains(told, key) {
				continue
			}
			told = append(told, key)
			found = append(found, Finding{
				Code: "drug-claim", Level: Caution, Subject: words, Source: claimSource,
				Message: "“" + words + "” promises what a medicine does, so that the law of both the EU and the US can count the product as one: “" + excerpt(sentence) + "”",
				Mend:    "Say how it looks, feels or smells, and leave out what it does against an illness.",
			})
		}
	}
	return found
}

// The patterns of promises, those that say most first.
var promised = []*regexp.Regexp{
	regexp.MustCompile(`(?i)\b(?:treats?|cures?|heals?|prevents?) (?:nearly )?(?:everything|anything|all ills|skin (?:conditions?|problems?|diseases?))\b`),
	regexp.MustCompile(`(?i)\b(?:(?:treat|cure|prevent|heal|relieve|soothe|calm|fight|reduce|remove|fade|banish|stop|eliminate|repel|ease|clear|combat|help)(?:s|es|ed|d)?` +
		`|treating|curing|preventing|healing|relieving|soothing|calming|fighting|reducing|fading|repelling|easing|clearing` +
		`|treatment|remed(?:y|ies)|relief|protects?|good|works|effective|goodbye|against|for) (?:[\w’'-]+,? ){0,4}?(?:` + ailments + `)\b`),
	regexp.MustCompile(`(?i)\b(?:` + ailments + `)[ -](?:relief|treatment|cure|remedy|fighting|fighter|balm|cream|salve|lotion|soap|oil|wash|prone)\b`),
	regexp.MustCompile(`(?i)\b(?:heals?|healing|anti-?(?:bacterial|microbial|fungal|viral|septic|inflammatory|perspirant)|kills? (?:germs|bacteria|viruses|fungus)` +
		`|pain[- ]?killer|analgesic|sun ?screen|sun ?block|SPF(?: ?\d+)?\+?|sun protection factor|cure-all|medicinal|therapeutic)\b`),
	regexp.MustCompile(`(?i)\b(?:stops?|reduces?|prevents?) (?:\w+ )?(?:sweating|sweat|ageing|aging)\b`),
}

const ailments = `acne|eczema|psoriasis|dermatitis|rosacea|athlete[’']?s[’']? foot|ringworm|impetigo|scabies|shingles|herpes|cold sores?|warts?` +
	`|fungus|fungal|infections?|infected skin|arthritis|rheumatism|sciatica|migraines?|headaches?|insomnia|asthma|bronchitis|hay fever|rash(?:es)?|hives` +
	`|cellulite|varicose veins?|scars?|stretch marks|hair loss|haemorrhoids|hemorrhoids|cancer|diabetes|inflammation|(?:\w+ )?pains?|sunburn` +
	`|diseases?|illness(?:es)?|ailments?|wounds?|dandruff|mosquito(?:e?s)?`

var (
	// A denial in front of the words, or one that a comma ends; and what makes a sentence advice.
	denial     = regexp.MustCompile(`(?i)\b(?:not|never|neither|nor|cannot|nobody|nothing|avoid|unless)\b|n[’']t\b|\b(?:no|none|without)\b[^,]*$`)
	affirmed   = regexp.MustCompile(`(?i)\b(?:not (?:only|just)|no more|never again)\b`)
	cautionary = regexp.MustCompile(`(?i)\b(?:doctors?|physicians?|midwife|pharmacists?|if you have|people with|stop using)\b`)
)

// promises gives the words of a sentence that promise what a medicine does.
func promises(sentence string) []string {
	if !mayPromise(sentence) {
		return nil
	}
	if cautionary.MatchString(sentence) {
		return nil
	}
	var all []string
	for _, pattern := range promised {
		for _, at := range pattern.FindAllStringIndex(sentence, -1) {
			if words := sentence[at[0]:at[1]]; !slices.Contains(all, words) && !denied(sentence[:at[0]]) {
				all = append(all, words)
			}
		}
		for _, words := range all { // each place once
			sentence = strings.ReplaceAll(sentence, words, "…")
		}
	}
	return all
}

// denied says whether what stands before some words denies them; it looks back over as much as a long sentence has.
func denied(before string) bool {
	before = before[max(0, len(before)-300):]
	return denial.MatchString(affirmed.ReplaceAllString(before, ""))
}

var (
	ends  = regexp.MustCompile(`[.!?;:]+(?:[\s”"')]+|$)|\n\s*\n|\n\s*(?:[-*|]|\d+\.)\s`)
	marks = strings.NewReplacer("*", "", "_", " ", "`", "", "#", "", "\r", "")
)

// telling are words of which every promise has one, in lower case; so do words that begin with "anti" or "spf". The patterns are
// slow, and few pages have any of these.
var telling = sync.OnceValue(func() map[string]bool {
	words := make(map[string]bool)
	for w := range strings.FieldsSeq(`treat treats cure cures heal heals healing prevent prevents sweat sweating ageing aging
		acne eczema psoriasis dermatitis rosacea athlete athletes ringworm impetigo scabies shingles herpes sore sores wart warts fungus
		fungal infection infections infected arthritis rheumatism sciatica migraine migraines headache headaches insomnia asthma bronchitis
		fever rash rashes hives cellulite varicose scar scars stretch loss haemorrhoids hemorrhoids cancer diabetes inflammation pain pains
		painkiller killer sunburn disease diseases illness illnesses ailment ailments wound wounds dandruff mosquito mosquitos mosquitoes
		kill kills analgesic sun sunscreen sunblock medicinal therapeutic`) {
		words[w] = true
	}
	return words
})

// tellingPairs has for each pair of letters the lengths of the telling words that begin with it, as bits.
var tellingPairs = sync.OnceValue(func() *[32][32]uint32 {
	var lengths [32][32]uint32
	for w := range telling() {
		lengths[w[0]&31][w[1]&31] |= 1 << len(w)
	}
	lengths['a'&31]['n'&31], lengths['s'&31]['p'&31] = ^uint32(0), ^uint32(0) // anti…, spf…
	return &lengths
})

// inWord is the kind of the marks that do not part a word.
const inWord = 1

// signs has for each letter its small one, for each mark within a word inWord, and else 0.
var signs = sync.OnceValue(func() *[256]byte {
	var kinds [256]byte
	for c := range byte(utf8.RuneSelf) {
		if isLetter(c) {
			kinds[c] = c | 0x20
		}
	}
	for _, c := range []byte("*`#\r") {
		kinds[c] = inWord
	}
	return &kinds
})

// mayPromise says whether a text has a word without which nothing in it is a promise. Marks within a word are passed over, as the sentences are
// read without them.
func mayPromise(text string) bool {
	pairs, kinds := tellingPairs(), signs()
	var word [16]byte // longer words are none of them
	n, hair := 0, false
	for i := 0; i <= len(text); i++ {
		c := byte(' ')
		if i < len(text) {
			c = text[i]
		}
		switch kind := kinds[c]; {
		case kind >= 'a':
			if n < len(word) {
				word[n] = kind
			}
			n++
			continue
		case n == 0 || kind == inWord:
			continue
		}
		if n > 1 && pairs[word[0]&31][word[1]&31]&(1<<min(n, 31)) != 0 && tells(word[:min(n, len(word))], n, hair, text[i:]) {
			return true
		}
		hair = n == 4 && string(word[:4]) == "hair"
		n = 0
	}
	return false
}

// tells says whether a word of so many letters may be part of a promise: two words are so only beside another.
func tells(word []byte, n int, afterHair bool, rest string) bool {
	switch {
	case bytes.HasPrefix(word, []byte("spf")):
		return true
	case bytes.HasPrefix(word, []byte("anti")):
		return n == len("anti") || strings.IndexByte("bfimpsv", word[len("anti")]) >= 0 // no antioxidant is a promise
	case n > len(word):
		return false
	case string(word) == "loss":
		return afterHair
	case string(word) == "sun": // screen, block, protection
		rest = strings.TrimLeftFunc(rest, func(r rune) bool { return r < utf8.RuneSelf && !isLetter(byte(r)) || unicode.IsSpace(r) })
		return rest != "" && (rest[0] >= utf8.RuneSelf || strings.IndexByte("sbp", rest[0]|0x20) >= 0)
	}
	return telling()[string(word)]
}

func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }

// sentences cuts a text where a sentence, a heading or an item of a list ends.
func sentences(text string) []string {
	var all []string
	for _, part := range ends.Split(marks.Replace(text), -1) {
		if part = strings.Join(strings.Fields(part), " "); part != "" {
			all = append(all, part)
		}
	}
	return all
}

// excerpt shortens a sentence to what a reader needs to find it.
func excerpt(sentence string) string {
	runes := []rune(sentence)
	if len(runes) <= 120 {
		return sentence
	}
	return string(runes[:117]) + "…"
}

package check

import (
	"regexp"
	"slices"
	"strings"
	"sync"
)

// claimSource is what makes a product that is said to treat, cure or prevent a drug or medicine, or a cosmetic's claim untrue.
const claimSource = "US FD&C Act 201(g)(1), 21 U.S.C. 321(g)(1); EU Reg. 1223/2009 Art. 2(1)(a) and Art. 20, EU Directive 2001/83/EC Art. 1(2); from memory"

// drugClaims finds words that promise to treat, cure or prevent, or that name a sun protection factor, each once. A sentence that
// denies it, warns or sends people to a doctor is no promise, and the trade has its own uses: soap cures, a treat is a gift.
func drugClaims(s *Subject) []Finding {
	if !mayPromise(s.Words) {
		return nil
	}
	var found []Finding
	var told []string
	for _, sentence := range sentences(s.Words) {
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

// mayPromise says whether a text has a word without which nothing in it is a promise.
func mayPromise(text string) bool {
	known := telling()
	var word [16]byte // longer words are none of them
	n := 0
	for i := 0; i <= len(text); i++ {
		if i < len(text) && isLetter(text[i]) {
			if n < len(word) {
				word[n] = text[i] | 0x20
			}
			n++
			continue
		}
		if n > 0 && n <= len(word) && known[string(word[:n])] || n >= 4 && string(word[:4]) == "anti" || n >= 3 && string(word[:3]) == "spf" {
			return true
		}
		n = 0
	}
	return false
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

// Weighs a batch of any size by the rules that the handbook was weighed by: exact fractions of whole numbers, rounded to what the scale
// reads, half away from zero. It knows no page: data in, figures and words out, the words in the page's language.
'use strict';
const weigh = (() => {
  const say = (key, places) => speech.say('weigh.' + key, places)
  const groups = words.decimal === '.' ? ',' : ',.' // the marks that may part thousands, for one who reads in this language

  // ---- exact fractions: n over d, in lowest terms, d above 0
  const abs = n => n < 0n ? -n : n
  const gcd = (a, b) => {
    while (b) [a, b] = [b, a % b]
    return a
  }
  const fraction = (n, d = 1n) => {
    if (d < 0n) [n, d] = [-n, -d]
    const g = gcd(abs(n), d) || 1n
    return { n: n / g, d: d / g }
  }
  const zero = fraction(0n), one = fraction(1n), half = fraction(1n, 2n)
  const add = (a, b) => fraction(a.n * b.d + b.n * a.d, a.d * b.d)
  const sub = (a, b) => fraction(a.n * b.d - b.n * a.d, a.d * b.d)
  const mul = (a, b) => fraction(a.n * b.n, a.d * b.d)
  const quo = (a, b) => fraction(a.n * b.d, a.d * b.n)
  const cmp = (a, b) => {
    const left = a.n * b.d, right = b.n * a.d
    return left < right ? -1 : left > right ? 1 : 0
  }
  const sum = list => list.reduce(add, zero)
  const least = (a, b) => cmp(a, b) <= 0 ? a : b
  const floor = a => a.n >= 0n || a.n % a.d === 0n ? a.n / a.d : a.n / a.d - 1n
  const neg = a => fraction(-a.n, a.d)

  // read gives the fraction that the page's data write as 12 or 7/20.
  const read = text => {
    const [n, d = '1'] = text.split('/')
    return fraction(BigInt(n), BigInt(d))
  }

  // roundTo gives the multiple of a step nearest to a fraction, half away from zero.
  const roundTo = (exact, step) => exact.n < 0n ? neg(roundTo(neg(exact), step)) : mul(fraction(floor(add(quo(exact, step), half))), step)
  const roundDown = (exact, step) => mul(fraction(floor(quo(exact, step))), step)

  // places gives how many decimals write a fraction that decimals can write.
  const places = a => {
    let n = 0
    for (let ten = 1n; ten % a.d; ten *= 10n) n++
    return n
  }

  // fixed writes a fraction with so many decimals, rounded half away from zero.
  const fixed = (a, n) => {
    if (a.n < 0n) {
      const text = fixed(neg(a), n)
      return /[1-9]/.test(text) ? '-' + text : text
    }
    const digits = String(floor(add(mul(a, fraction(10n ** BigInt(n))), half))).padStart(n + 1, '0')
    return n ? digits.slice(0, -n) + '.' + digits.slice(-n) : digits
  }

  // ---- reading a batch as it is written
  class Refusal extends Error {
    constructor(key, places, hint = 'hintBatch', hintPlaces) {
      super(say(key, places))
      this.key = key
      this.hint = hint && say(hint, hintPlaces)
    }
  }

  const ounce = fraction(45359237n, 1600000n) // grams: NIST Handbook 44, Appendix C
  const units = new Map()
  for (const [names, factor] of [
    ['g gram grams gramme grammes', one],
    ['kg kilo kilos kilogram kilograms kilogramme kilogrammes', fraction(1000n)],
    ['mg milligram milligrams', fraction(1n, 1000n)],
    ['µg μg mcg microgram micrograms', fraction(1n, 1000000n)],
    ['oz ounce ounces', ounce],
    ['lb lbs pound pounds', mul(ounce, fraction(16n))],
    ['grain grains', fraction(6479891n, 100000000n)],
  ]) for (const name of names.split(' ')) units.set(name, { factor })
  // Volumes are known in order to say that a batch is made by weight; their sizes only tell the larger from the smaller. US gallons are 1.
  const gallon = fraction(473176473n, 125000n), imperial = fraction(454609n, 100n)
  for (const [names, factor] of [
    ['ml millilitre millilitres milliliter milliliters cc cm3 cm³', one],
    ['cl centilitre centilitres', fraction(10n)], ['dl decilitre decilitres', fraction(100n)], ['l litre litres liter liters', fraction(1000n)],
    ['gal gallon gallons', gallon], ['qt quart quarts', quo(gallon, fraction(4n))], ['pt pint pints', quo(gallon, fraction(8n))],
    ['cup cups', quo(gallon, fraction(16n))],
    ['fl_oz fluid_ounce fluid_ounces fl_ounce fl_ounces floz', quo(gallon, fraction(128n))],
    ['tbsp tablespoon tablespoons', quo(gallon, fraction(256n))], ['tsp teaspoon teaspoons', quo(gallon, fraction(768n))],
    ['imp_gal imp_gallon imp_gallons imperial_gallon imperial_gallons', imperial],
    ['imp_pt imp_pint imp_pints imperial_pint imperial_pints', quo(imperial, fraction(8n))],
    ['imp_fl_oz imperial_fl_oz imp_fluid_ounce imp_fluid_ounces imperial_fluid_ounce imperial_fluid_ounces', quo(imperial, fraction(160n))],
  ]) for (const name of names.split(' ')) units.set(name.replaceAll('_', ' '), { factor, volume: true })
  const grammar = ['per', 'of', 'part', 'parts', 'percent'] // words that may follow a number that has no unit
  const unweighable = 'drop pinch dash smidgen handful dollop squirt capful scoop spoon spoonful gr dram dr scruple stick jar tin'.split(' ')
  const looseWords = ['to taste', 'as needed', 'as required', 'a few', 'few', 'some', 'a ', 'pinch', 'dash', 'handful', 'drop', 'about', 'approx', 'ca', 'around', 'up to', 'balance', 'remainder', 'rest', 'half', 'one', 'two', 'three']
  const vulgar = new Map([...'½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒'].map((sign, i) => {
    const [n, d] = [[1, 2], [1, 3], [2, 3], [1, 4], [3, 4], [1, 5], [2, 5], [3, 5], [4, 5], [1, 6], [5, 6], [1, 7], [1, 8], [3, 8], [5, 8], [7, 8], [1, 9], [1, 10]][i]
    return [sign, fraction(BigInt(n), BigInt(d))]
  }))
  const dashes = '-‐‑‒–—−', lines = '/⁄∕'
  const maxDigits = 19, maxContainers = 1000000n
  const trim = text => text.replace(/^\p{White_Space}+|\p{White_Space}+$/gu, '')
  const tidy = text => trim(text).replace(/\p{White_Space}+/gu, ' ')
  const isDigit = sign => sign >= '0' && sign <= '9'

  // same says whether two names are the same, whatever their case.
  const same = (a, b) => new RegExp('^' + a.replace(/[\\^$.*+?()[\]{}|/]/g, '\\$&') + '$', 'iu').test(b)

  class Scanner {
    constructor(text, at = 0) {
      this.text = text
      this.at = at
    }
    copy() { return new Scanner(this.text, this.at) }
    rest() { return this.text.slice(this.at) }
    from(start) { return this.text.slice(start, this.at) }
    spaces() { this.at += /^\p{White_Space}*/u.exec(this.rest())[0].length }
    done() {
      this.spaces()
      return this.at >= this.text.length
    }
    sign() { return this.at < this.text.length ? String.fromCodePoint(this.text.codePointAt(this.at)) : '' }
    take(signs) {
      const sign = this.sign()
      if (!sign || ![...signs].includes(sign)) return false
      this.at += sign.length
      return true
    }
    // peekWord gives the next letters in lower case, without the full stops in and after them, and where they end.
    peekWord() {
      this.spaces()
      let word = '', end = this.at
      for (const sign of this.rest()) {
        const letter = /\p{L}/u.test(sign) || (sign === '3' || sign === '³') && word === 'cm'
        if (!letter && (sign !== '.' || !word)) break
        if (letter) word += sign.toLowerCase()
        end += sign.length
      }
      return { word, end }
    }
    takeWord(wanted) {
      const { word, end } = this.peekWord()
      if (word === wanted) this.at = end
      return word === wanted
    }
    startsNumber() {
      this.spaces()
      const [first = '', second = ''] = this.rest()
      return isDigit(first) && first !== '' || vulgar.has(first) || (first === '.' || first === ',') && second !== '' && isDigit(second)
    }
    digits() {
      const found = /^[0-9]*/.exec(this.rest())[0]
      this.at += found.length
      return found
    }
    marked() { return /^[.,][0-9]/.test(this.rest()) }

    number() {
      this.spaces()
      const start = this.at, whole = this.digits()
      let mark = '', decimals = ''
      if (this.marked()) {
        mark = this.text[this.at++]
        decimals = this.digits()
      }
      if (whole.length > maxDigits || decimals.length > maxDigits) throw new Refusal('digits', {}, 'hintNumber')
      this.refuseGroups(start, whole, mark, decimals)
      const n = fraction(BigInt('0' + whole + decimals), 10n ** BigInt(decimals.length))
      if (mark) return n
      if (this.at === start) return this.vulgarFraction()
      if (this.take(lines)) return this.over(n)
      return this.mixed(n)
    }
    // refuseGroups refuses what may be thousands marks: 1,000 and 1,000.5 and 1 000, and 1.000 where the decimal sign is a comma.
    refuseGroups(start, whole, mark, decimals) {
      let again = false
      while (mark && this.marked()) {
        again = true
        this.at++
        this.digits()
      }
      if (again) throw new Refusal('marks', { text: this.from(start) }, 'hintNumber')
      if (mark && groups.includes(mark) && decimals.length === 3 && /[1-9]/.test(whole)) {
        throw new Refusal('ambiguousMark', { text: this.from(start), whole: whole + decimals, decimal: speech.number(whole + '.' + decimals) }, '')
      }
      if (!mark && whole && whole.length <= 3) {
        const ahead = this.copy()
        ahead.spaces()
        if (ahead.at === this.at || ahead.digits().length !== 3 || ahead.take(lines)) return
        throw new Refusal('ambiguous', { text: ahead.from(start) }, 'hintNumber')
      }
    }
    vulgarFraction() {
      const sign = this.sign()
      if (!vulgar.has(sign)) throw new Refusal('number', {}, 'hintNumber')
      this.at += sign.length
      return vulgar.get(sign)
    }
    over(numerator) {
      const under = this.digits()
      if (!under || under.length > maxDigits) throw new Refusal('halfFraction', {}, 'hintNumber')
      if (!BigInt(under)) throw new Refusal('zeroBelow', {}, 'hintNumber')
      return quo(numerator, fraction(BigInt(under)))
    }
    mixed(whole) {
      const ahead = this.copy()
      ahead.spaces()
      const sign = ahead.sign()
      if (vulgar.has(sign)) {
        this.at = ahead.at + sign.length
        return add(whole, vulgar.get(sign))
      }
      if (ahead.at === this.at) return whole // 11/2 is eleven halves: a mixed number has a space
      const above = ahead.digits()
      if (!above || above.length > maxDigits || !ahead.take(lines)) return whole
      this.at = ahead.at
      const part = this.over(fraction(BigInt(above)))
      if (cmp(part, one) >= 0) throw new Refusal('improper', {}, 'hintNumber')
      return add(whole, part)
    }
    refuseRange() {
      const ahead = this.copy()
      ahead.spaces()
      if ((ahead.take(dashes) || ahead.takeWord('to') || ahead.takeWord('or')) && ahead.startsNumber()) throw new Refusal('range')
    }
    oneNumber() {
      const n = this.number()
      this.refuseRange()
      return n
    }
    // unit reads the longest known unit, of up to three words.
    unit() {
      const ahead = this.copy()
      let name = '', found = null
      for (let i = 0; i < 3; i++) {
        const { word, end } = ahead.peekWord()
        if (!word) break
        name = name ? name + ' ' + word : word
        ahead.at = end
        if (units.has(name)) found = { unit: units.get(name), end }
      }
      if (found) {
        this.at = found.end
        return found.unit
      }
      const { word } = this.peekWord()
      if (!word || grammar.includes(word)) return null
      if ([word, word.replace(/s$/, ''), word.replace(/es$/, '')].some(one => unweighable.includes(one))) throw new Refusal('loose', { text: word }, 'hintUnits')
      throw new Refusal('unit', { text: word }, 'hintUnits')
    }
    // measure reads a number with a unit or a sum of them, such as 2 lb 4 oz; without a unit it is bare.
    measure() {
      this.spaces()
      const start = this.at
      let n = this.oneNumber(), unit = this.unit()
      if (!unit) return { bare: true, grams: n }
      const volume = Boolean(unit.volume)
      let grams = mul(n, unit.factor)
      for (let last = unit; this.startsNumber(); last = unit) {
        n = this.oneNumber()
        unit = this.unit()
        if (!unit || Boolean(unit.volume) !== volume) throw new Refusal('mixed', { text: this.from(start) })
        if (cmp(unit.factor, last.factor) >= 0) throw new Refusal('order', { text: this.from(start) })
        grams = add(grams, mul(n, unit.factor))
      }
      this.refuseRange()
      return { grams, volume }
    }
    refuseLoose() {
      if (this.startsNumber()) return
      if (this.take('-−–+')) throw new Refusal('signed')
      if (this.take('~≈<>≤≥±')) throw new Refusal('inexact')
      const text = trim(this.rest())
      const key = looseWords.some(word => text.toLowerCase().startsWith(word)) ? 'loose' : 'noNumberThere'
      throw new Refusal(key, { text })
    }
    // containers reads 24 × 60 ml tin; null where it is none.
    containers() {
      const ahead = this.copy()
      if (!ahead.startsNumber()) return null
      let n
      try {
        n = ahead.number()
      } catch (refused) {
        if (refused instanceof Refusal) return null // the plain reading says what is wrong with the number
        throw refused
      }
      ahead.spaces()
      if (!ahead.take('×*') && !ahead.timesLetter()) return null
      if (n.d !== 1n || n.n < 1n || n.n > maxContainers) throw new Refusal('count', {})
      if (ahead.done()) throw new Refusal('noContainer', {})
      return { count: n.n, container: tidy(ahead.rest()) }
    }
    timesLetter() {
      if (!/^[xX]($|[\p{White_Space}0-9])/u.test(this.rest())) return false
      this.at++
      return true
    }
    usingUp() {
      const m = this.measure()
      if (m.bare || m.volume || !m.grams.n) throw new Refusal('notOfWeight', {})
      this.takeWord('of')
      if (this.done()) throw new Refusal('noMaterial', {})
      return { grams: m.grams, material: tidy(this.rest()) }
    }
    batch() {
      if (this.done()) throw new Refusal('missing', {})
      if (this.takeWord('from')) return this.usingUp()
      const containers = this.containers()
      if (containers) return containers
      this.refuseLoose()
      const m = this.measure()
      if (m.bare) throw new Refusal('noBatch', { text: trim(this.text) })
      if (m.volume) throw new Refusal('volume', {})
      if (!this.done()) throw new Refusal('tooMuch', { text: trim(this.rest()) })
      if (!m.grams.n) throw new Refusal('nothing', {})
      return { grams: m.grams }
    }
  }

  // ---- the size of a batch in a version
  const phaseKey = name => trim(name).replace(/ phase$/iu, '')

  function nameMeans(name, known, phase) {
    if (!known) return false
    if (same(name, known)) return true
    if (name.length <= known.length || !same(name.slice(0, known.length), known)) return false
    const rest = name.slice(known.length)
    return rest.startsWith(' in ') && same(phaseKey(rest.slice(4)), phaseKey(phase))
  }

  // slips counts the letters to be put in, left out, changed or swapped with the next to make one name of another.
  function slips(a, b) {
    let before = [], last = Array.from({ length: b.length + 1 }, (_, j) => j)
    for (let i = 1; i <= a.length; i++) {
      const row = [i]
      for (let j = 1; j <= b.length; j++) {
        row[j] = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] !== b[j - 1]))
        if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) row[j] = Math.min(row[j], before[j - 2] + 1)
      }
      before = last
      last = row
    }
    return last[b.length]
  }

  // meant gives the items' names that one which is not found most likely meant: the nearest, or those that have all of its words.
  function meant(version, name) {
    const typed = [...name.toLowerCase()], names = [...new Set(version.items.map(item => item.name))]
    const near = names.map(known => ({ known, far: slips(typed, [...known.toLowerCase()]) })).sort((a, b) => a.far - b.far)[0]
    if (near?.far <= typed.length / 3) return [near.known]
    const wordsOf = text => text.toLowerCase().split(/[\s,()]+/).filter(Boolean)
    return names.filter(known => wordsOf(name).every(word => wordsOf(known).includes(word)))
  }

  // named finds the items that a name means: by the formula's names, else by other names of the materials, else by what stands before a comma.
  function named(version, others, name) {
    const find = known => version.items.flatMap((item, i) => known(item.name).some(one => nameMeans(name, one, version.phases[item.phase])) ? [i] : [])
    const own = find(one => [one])
    if (own.length) return own
    for (const known of [one => others[one] ?? [], one => one.includes(',') ? [trim(one.split(',')[0])] : []]) {
      const found = find(known)
      if (found.length && found.every(i => version.items[i].name === version.items[found[0]].name)) return found
      if (found.length) return []
    }
    return []
  }

  // nameOf gives an item's name, with its phase where another phase has it too.
  function nameOf(version, i) {
    const { name, phase } = version.items[i]
    return version.items.filter(item => same(item.name, name)).length > 1 ? name + ' in ' + version.phases[phase] : name
  }

  // usedUp finds the item that a batch is to use up.
  function usedUp(version, others, name) {
    const found = named(version, others, name)
    if (!found.length) {
      const names = meant(version, name)
      throw new Refusal('notThere', { name }, names.length ? 'hintMeant' : 'hintName', { names: names.map(text => say('quoted', { text })).join(', ') })
    }
    const [first] = found
    if (!nameMeans(name, version.items[first].name, version.phases[version.items[first].phase])) name = found.length > 1 ? version.items[first].name : nameOf(version, first)
    if (found.length > 1) throw new Refusal('inPhases', { name }, 'hintPhase', { name, phase: version.phases[version.items[first].phase] })
    if (!version.items[first].share.n) throw new Refusal('nothingOf', { name }, 'hintName')
    return first
  }

  const perContainer = fill => mul(fill.takes, add(one, quo(fill.loss, fraction(100n))))

  function containerFill(fills, container) {
    const bare = name => name.replace(/\p{White_Space}+/gu, '') // 60ml tins are in the 60 ml tin
    const fill = ['', 's', 'es'].map(ending => fills.find(one => same(bare(one.container) + ending, bare(container)))).find(Boolean)
    const known = fills.filter(one => !one.unknown).map(one => one.container)
    const hint = known.length ? 'hintContainers' : 'hintBatch', places = { containers: known.join(', ') }
    if (!fill) throw new Refusal('unknownFill', { container }, hint, places)
    if (fill.unknown) {
      const refusal = new Refusal('unknownFill', { container }, hint, places)
      throw words.language === 'en' ? Object.assign(refusal, { message: fill.unknown }) : refusal // the page's data say why in English alone
    }
    return fill
  }

  // size gives a batch its exact weight in a version.
  function size(data, version, text) {
    const batch = new Scanner(text).batch(), sized = { written: tidy(text), grams: batch.grams, pinned: -1, fill: data.fills[0] }
    if (batch.count) {
      sized.fill = containerFill(data.fills, batch.container)
      sized.grams = mul(perContainer(sized.fill), fraction(batch.count))
    } else if (batch.material) {
      sized.pinned = usedUp(version, data.names, batch.material)
      const { name } = version.items[sized.pinned]
      if (!nameMeans(batch.material, name, version.phases[version.items[sized.pinned].phase])) sized.written = sized.written.slice(0, -batch.material.length) + nameOf(version, sized.pinned)
      sized.there = batch.grams
      sized.grams = quo(batch.grams, version.items[sized.pinned].share)
    } else sized.written = sized.written.replace(/\.$/, '') // as in 250 g.
    return sized
  }

  // ---- weighing
  // stepFor gives what the scale reads for a load.
  const stepFor = (scale, load) => scale.find(range => !range.upTo || cmp(load, range.upTo) <= 0).reads

  // fit gives a weight in the step of the first of the scale's ranges in which the reading fits.
  function fit(scale, inSteps) {
    for (let step = stepFor(scale, zero); ;) {
      const mass = inSteps(step), fitting = stepFor(scale, mass)
      if (cmp(fitting, step) <= 0) return { mass, step }
      step = fitting
    }
  }
  const rounded = (scale, exact) => fit(scale, step => roundTo(exact, step))

  // column weighs every item; the first that may, of the q.s. ingredient and the largest, takes up the rounding.
  function column(data, version, sized) {
    const weights = version.items.map((item, i) => i === sized.pinned
      ? fit(data.scale, step => roundDown(sized.there, step))
      : rounded(data.scale, mul(item.share, sized.grams)))
    let total = sum(weights.map(w => w.mass)), balance = -1
    for (const i of version.instead[sized.pinned] ?? version.balance) {
      const rest = sub(total, weights[i].mass), taken = rounded(data.scale, sub(sized.grams, rest))
      if (taken.mass.n < 0n) continue
      balance = i
      weights[i] = taken
      total = add(rest, taken.mass)
      break
    }
    return { weights, total, balance }
  }

  // ---- what is shown
  const ounces = grams => {
    const exact = quo(grams, ounce)
    return roundTo(exact, fraction(1n, cmp(exact, one) < 0 ? 1000n : 100n))
  }
  const ounceText = oz => fixed(oz, cmp(oz, one) < 0 ? 3 : 2)
  const reading = ({ mass, step }) => ({ g: fixed(mass, places(step)), oz: ounceText(ounces(mass)) })

  // together gives what some weights come to, with as many decimals as the finest of them has.
  function together(weights) {
    const grams = sum(weights.map(w => w.mass)), n = Math.max(0, ...weights.map(w => places(w.step)))
    return { g: fixed(grams, n), oz: ounceText(ounces(grams)) }
  }

  function totalOf({ weights, total }) {
    const oz = sum(weights.map(w => ounces(w.mass))), n = Math.max(0, ...weights.map(w => places(w.step)))
    return { g: fixed(total, n), oz: fixed(oz, places(oz) > 2 ? 3 : 2) }
  }

  function fillText(data, { fill, grams }) {
    if (!fill || fill.unknown || fill.takes.n <= 0n) return ''
    const count = floor(quo(grams, perContainer(fill)))
    if (count >= 2n ** 63n) return ''
    if (!count) return say('fillsNone', fill)
    const left = sub(quo(grams, add(one, quo(fill.loss, fraction(100n)))), mul(fill.takes, fraction(count)))
    const step = stepFor(data.scale, left), shown = roundTo(left, step)
    const said = { count, container: fill.container, left: speech.number(fixed(shown, places(step))) }
    return say(shown.n > 0n ? 'fillsLeft' : 'fills', said)
  }

  // past writes a percent above 5 with one decimal, or with as many as tell it from 5.
  function past(percent) {
    const text = n => fixed(percent, n).replace(/\.?0+$/, '')
    let n = 1
    while (n < 18 && text(n) === '5') n++
    return text(n)
  }

  // cautions gives what cannot be weighed closely: weights of which one step of the scale is more than 5 %.
  function cautions(data, version, sized) {
    return version.items.flatMap((item, at) => {
      const exact = mul(item.share, sized.grams)
      if (!exact.n) return []
      const share = quo(stepFor(data.scale, exact), exact)
      if (cmp(share, fraction(5n, 100n)) <= 0) return []
      const percent = past(mul(share, fraction(100n)))
      return [{ item: at, level: item.grave ? 'stop' : 'caution', message: say(/^from /i.test(sized.written) ? 'tooLightFrom' : 'tooLight', { percent: speech.number(percent), name: item.name, size: sized.written }), mend: say('tooLightMend') }]
    })
  }

  // partition divides a whole in steps so that no part is below 0 and all add up.
  function partition(whole, step, shares) {
    let running = zero, before = zero
    return shares.map((share, i) => {
      running = add(running, share)
      const upTo = i === shares.length - 1 ? whole : roundTo(mul(whole, running), step), mass = sub(upTo, before)
      before = upTo
      return { mass, step }
    })
  }

  // divide tells how a weighed batch of the base is divided among the splits and what each is finished with.
  function divide(data, total) {
    const splits = data.versions.filter(v => v.portion)
    if (!splits.length) return []
    let bases = splits.map(v => rounded(data.scale, mul(total, v.portion.share)))
    const rest = splits.reduce((best, v, i) => cmp(v.portion.share, splits[best].portion.share) > 0 ? i : best, 0)
    const left = sub(total, sub(sum(bases.map(b => b.mass)), bases[rest].mass))
    if (left.n < 0n) bases = partition(total, stepFor(data.scale, zero), splits.map(v => v.portion.share))
    else bases[rest] = rounded(data.scale, left)
    return splits.map((v, i) => {
      const base = bases[i], ofBase = sum(v.items.slice(0, v.portion.items).map(item => item.share))
      const adds = v.items.slice(v.portion.items).map(item => rounded(data.scale, quo(mul(base.mass, item.share), ofBase)))
      const step = adds.reduce((finest, a) => least(finest, a.step), base.step)
      return { base: reading(base), adds: adds.map(reading), total: reading({ mass: sum([base, ...adds].map(w => w.mass)), step }) }
    })
  }

  // load reads the data of a page: a scale, fills and versions with shares.
  function load(raw) {
    return {
      names: raw.names ?? {},
      scale: raw.scale.map(([reads, upTo]) => ({ reads: read(reads), upTo: upTo ? read(upTo) : null })),
      fills: raw.fills.map(fill => ({ ...fill, takes: read(fill.takes), loss: read(fill.loss) })),
      versions: raw.versions.map(v => ({
        ...v,
        items: v.items.map(item => ({ ...item, share: read(item.share) })),
        portion: v.portion && { ...v.portion, share: read(v.portion.share) },
      })),
    }
  }

  // batch weighs a batch, as written, of one version: every figure as the page shows it. Where there is no such batch it gives an error
  // with a message and a hint.
  function batch(data, version, text) {
    try {
      const sized = size(data, version, text), weighed = column(data, version, sized)
      if (!weighed.total.n) throw new Refusal('tooLittle', {}, 'hintLarger')
      return {
        size: sized.written,
        weights: weighed.weights.map(reading),
        balance: weighed.balance,
        total: totalOf(weighed),
        phases: version.phases.map((_, p) => together(weighed.weights.filter((_, i) => version.items[i].phase === p)).g),
        sum: items => together(items.map(i => weighed.weights[i])),
        fill: fillText(data, sized),
        cautions: cautions(data, version, sized),
        portions: version.kind === 'base' ? divide(data, weighed.total) : [],
      }
    } catch (refused) {
      if (!(refused instanceof Refusal)) throw refused
      return { error: { message: refused.message, hint: refused.hint, key: refused.key } }
    }
  }

  return { load, batch }
})()

// Finds entries of the search list: every word that is looked for has to start a word of the entry, in any order; where nothing does,
// words that are spelt nearly so do. Knows no page.
'use strict';
const match = (() => {
  const special = { ß: 'ss', æ: 'ae', œ: 'oe', ø: 'o', ł: 'l', đ: 'd', ð: 'd', þ: 'th', ı: 'i' }
  const one = 4, two = 8 // letters from which a word may hold one slip, and two
  const guesses = 24 // words that a mistyped one may mean

  // fold writes a text as words in small letters without accents, each with a space before it.
  function fold(text) {
    const plain = text.normalize('NFKD').toLowerCase().replace(/\p{M}/gu, '').replace(/[ßæœøłđðþı]/g, sign => special[sign])
    return (plain.match(/[\p{L}\p{N}]+/gu) ?? []).map(word => ' ' + word).join('')
  }
  const split = folded => folded.split(/(?= )/).filter(Boolean)

  // The places where a word may stand, the nearest first: title, other names, what kind, ingredients, other names of ingredients, summary.
  const ofIngredients = 4
  function fieldsOf(entry, fold) {
    const words = (entry.words ?? []).map(fold).join(''), named = entry.kind === 'ingredient'
    return [fold(entry.title), named ? words : '', fold(entry.tag ?? '') + fold(entry.shelf ?? ''), named ? '' : words, '', fold(entry.summary ?? '')]
  }

  // index prepares entries. What many of them say is folded once.
  function index(entries) {
    const folded = new Map()
    const foldOnce = text => {
      if (!folded.has(text)) folded.set(text, fold(text))
      return folded.get(text)
    }
    const rows = entries.map(entry => ({ entry, fields: fieldsOf(entry, foldOnce), takes: entry.takes ?? [] }))
    return { rows, named: rows.filter(row => row.entry.material), texts: [...folded.values()], vocabulary: null }
  }

  // vocabulary gives every word of the entries once.
  function vocabulary(prepared) {
    if (!prepared.vocabulary) {
      const words = new Set(prepared.texts.flatMap(text => text.split(' ')))
      words.delete('')
      prepared.vocabulary = [...words].map(word => ' ' + word)
    }
    return prepared.vocabulary
  }

  // slips counts the letters to be put in, left out, changed or swapped with the next to make a word of another: of the whole other, and of
  // that beginning of it which is nearest. What is more than most counts as more.
  function slips(word, other, most) {
    const far = { whole: most + 1, start: most + 1 }
    if (other.length < word.length - most) return far
    const wide = Math.min(other.length, word.length + most)
    let before = null, last = Array.from({ length: wide + 1 }, (_, j) => j)
    for (let i = 1; i <= word.length; i++) {
      const row = [i]
      for (let j = 1; j <= wide; j++) {
        const changed = last[j - 1] + (word[i - 1] !== other[j - 1])
        row[j] = Math.min(changed, last[j] + 1, row[j - 1] + 1)
        if (i > 1 && j > 1 && word[i - 1] === other[j - 2] && word[i - 2] === other[j - 1]) row[j] = Math.min(row[j], before[j - 2] + 1)
      }
      if (Math.min(...row) > most) return far
      before = last
      last = row
    }
    const longest = last.slice(word.length) // a beginning that is shorter than what was typed is chance
    return { whole: other.length === wide ? last[wide] : most + 1, start: longest.length ? Math.min(...longest) : most + 1 }
  }

  // meant gives the words that a mistyped one may stand for: of those with the fewest slips the whole ones, else those that begin nearly so.
  // The first letter is seldom wrong.
  function meant(prepared, word) {
    const letters = word.trim(), most = letters.length >= two ? 2 : letters.length >= one ? 1 : 0
    if (!most || /\p{N}/u.test(letters)) return []
    const found = { whole: [[], [], []], start: [[], [], []] }
    for (const other of vocabulary(prepared)) {
      if (other[1] !== word[1]) continue
      const { whole, start } = slips(letters, other.trim(), most)
      if (whole <= most) found.whole[whole].push(other)
      else if (start <= most) found.start[start].push(other)
    }
    return [...found.whole, ...found.start].find(words => words.length)?.slice(0, guesses) ?? []
  }

  // distance says how far a row is from what is looked for, a group of like words for each word; Infinity is no match.
  function distance(row, groups, whole) {
    let sum = 0
    for (const { words, materials } of groups) {
      let at = row.fields.findIndex(field => words.some(word => field.includes(word)))
      if ((at < 0 || at > ofIngredients) && row.takes.some(id => materials.has(id))) at = ofIngredients
      if (at < 0) return Infinity
      sum += 2 * at + 1
    }
    if (row.fields[0] === whole) return sum - 2
    return row.fields[0].startsWith(whole) ? sum - 1 : sum
  }

  // group joins to like words the materials that have one in their names.
  function group(prepared, words) {
    const named = prepared.named.filter(({ fields }) => words.some(word => fields[0].includes(word) || fields[1].includes(word)))
    return { words, materials: new Set(named.map(({ entry }) => entry.material)) }
  }

  function nearest(prepared, choices, whole) {
    const groups = choices.map(words => group(prepared, words))
    return prepared.rows.map(row => ({ entry: row.entry, title: row.fields[0], far: distance(row, groups, whole) }))
      .filter(({ far }) => far < Infinity)
      .sort((a, b) => a.far - b.far || (a.title < b.title ? -1 : a.title > b.title ? 1 : 0))
      .map(({ entry }) => entry)
  }

  // find gives the entries that match, the nearest first, and whether they are only spelt nearly so.
  function find(prepared, query) {
    const whole = fold(query), words = [...new Set(split(whole))]
    if (!words.length) return { entries: [], nearly: false }
    const entries = nearest(prepared, words.map(word => [word]), whole)
    if (entries.length) return { entries, nearly: false }
    const strange = words.filter(word => !vocabulary(prepared).some(other => other.startsWith(word)))
    const wrong = new Set(strange.length ? strange : words)
    const choices = words.map(word => wrong.has(word) ? [...strange.length ? [] : [word], ...meant(prepared, word)] : [word])
    return { entries: choices.every(choice => choice.length) ? nearest(prepared, choices, whole) : [], nearly: true }
  }

  return { fold, index, find }
})()

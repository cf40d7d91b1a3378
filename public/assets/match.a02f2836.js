// Finds entries of the search list: every word that is looked for has to start a word of the entry, in any order. Knows no page.
'use strict';
const match = (() => {
  const special = { ß: 'ss', æ: 'ae', œ: 'oe', ø: 'o', ł: 'l', đ: 'd', ð: 'd', þ: 'th', ı: 'i' }

  // fold writes a text as words in small letters without accents, each with a space before it.
  function fold(text) {
    const plain = text.normalize('NFKD').toLowerCase().replace(/\p{M}/gu, '').replace(/[ßæœøłđðþı]/g, sign => special[sign])
    return (plain.match(/[\p{L}\p{N}]+/gu) ?? []).map(word => ' ' + word).join('')
  }

  // index prepares entries. Where a word stands decides how near a match is: title, other names, what kind, ingredients, summary.
  function index(entries) {
    return entries.map(entry => {
      const words = entry.words ?? [], named = entry.kind === 'ingredient'
      const fields = [entry.title, named ? words.join(' ') : '', [entry.tag, entry.shelf].filter(Boolean).join(' '), named ? '' : words.join(' '), entry.summary ?? '']
      return { entry, fields: fields.map(fold) }
    })
  }

  // distance says how far an entry is from what is looked for; Infinity is no match.
  function distance(fields, words, whole) {
    let sum = 0
    for (const word of words) {
      const at = fields.findIndex(field => field.includes(word))
      if (at < 0) return Infinity
      sum += 2 * at + 1
    }
    return fields[0].startsWith(whole) ? sum - 1 : sum
  }

  // find gives the entries that match, the nearest first.
  function find(prepared, query) {
    const whole = fold(query), words = [...new Set(whole.split(/(?= )/))].filter(Boolean)
    if (!words.length) return []
    return prepared.map(({ entry, fields }) => ({ entry, title: fields[0], far: distance(fields, words, whole) }))
      .filter(({ far }) => far < Infinity)
      .sort((a, b) => a.far - b.far || (a.title < b.title ? -1 : a.title > b.title ? 1 : 0))
      .map(({ entry }) => entry)
  }

  return { fold, index, find }
})()

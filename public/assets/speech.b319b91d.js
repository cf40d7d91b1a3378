// Says what words.js has: texts with their places filled, in the form that a number asks for, and days and decimals as the language writes them.
'use strict';
const speech = (() => {
  const { language, locale, decimal, texts } = words
  const forms = new Intl.PluralRules(language), counts = new Intl.NumberFormat(locale)

  // say gives a text; a place called count chooses its form.
  function say(key, places = {}) {
    const text = texts[key] ?? key
    const form = typeof text === 'string' ? text : text[forms.select(places.count)] ?? text.other
    return form.replace(/\{([a-zA-Z]+)\}/g, (place, name) => {
      const value = places[name] ?? place
      return typeof value === 'number' ? counts.format(value) : value
    })
  }

  // all gives the texts of one script, places and forms as they are, by the rest of their keys.
  function all(script) {
    const start = script + '.'
    return Object.fromEntries(Object.entries(texts).filter(([key]) => key.startsWith(start)).map(([key, text]) => [key.slice(start.length), text]))
  }

  // day writes a day, such as "2026-05-03", in words; without the year if it is this one.
  function day(text) {
    const [year, month, date] = text.split('-').map(Number)
    const names = { day: 'numeric', month: 'long', ...(year === new Date().getFullYear() ? {} : { year: 'numeric' }) }
    return new Intl.DateTimeFormat(locale, names).format(new Date(year, month - 1, date))
  }

  // number writes an exact decimal, such as "1191.4".
  const number = text => text.replace('.', decimal)

  return { say, all, day, number }
})()

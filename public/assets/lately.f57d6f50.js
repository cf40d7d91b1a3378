// Tells on the first page what is new since the reader was last here. What was there is noted in this browser and told to nobody.
'use strict';
(() => {
  const place = new URL(document.documentElement.dataset.root || './', location.href).pathname
  const name = 'stillroom-lately ' + place
  const section = document.getElementById('lately')
  if (!section || location.protocol === 'file:') return

  // cards gives what the page lists: address → link and day of the last change.
  function cards() {
    const all = new Map()
    for (const card of document.querySelectorAll('main [data-updated]')) {
      const link = card.querySelector('a[href]')
      if (link) all.set(link.getAttribute('href'), { link, updated: card.dataset.updated })
    }
    return all
  }

  function recall() {
    try {
      const note = JSON.parse(localStorage.getItem(name))
      return note && typeof note.known === 'object' && /^\d{4}-\d\d-\d\d$/.test(note.on) ? note : null
    } catch {
      return null
    }
  }

  function store(note) {
    try {
      localStorage.setItem(name, JSON.stringify(note))
    } catch {
      // then nothing is ever new
    }
  }

  function today() {
    const now = new Date()
    return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map(n => String(n).padStart(2, '0')).join('-')
  }

  const all = cards()
  const asKnown = () => Object.fromEntries([...all].map(([href, { updated }]) => [href, updated]))
  const before = recall()
  const isNew = ([href, { updated }]) => !(before.known[href] >= updated)
  const news = before ? [...all].filter(isNew).sort(([, a], [, b]) => a.updated < b.updated ? 1 : -1) : []
  if (!news.length) {
    store({ on: today(), known: asKnown() })
    return
  }

  function item([href, { link, updated }]) {
    const made = document.createElement('li'), to = document.createElement('a'), when = document.createElement('span')
    to.href = href
    to.textContent = link.textContent
    when.className = 'tag'
    when.textContent = speech.say(href in before.known ? 'lately.changed' : 'lately.new', { day: speech.day(updated) })
    to.addEventListener('click', () => { // what is looked at is no news any more
      before.known[href] = updated
      store(before)
    })
    made.append(to, ' ', when)
    return made
  }

  section.querySelector('h2').textContent = speech.say('lately.since', { day: speech.day(before.on) })
  section.querySelector('ul').replaceChildren(...news.map(item))
  section.querySelector('button').addEventListener('click', () => {
    store({ on: today(), known: asKnown() })
    section.hidden = true
    const heading = document.querySelector('main h1')
    heading.tabIndex = -1
    heading.focus({ preventScroll: true })
  })
  section.hidden = false
})()

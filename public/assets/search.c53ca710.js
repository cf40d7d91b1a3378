// The search box: as you type, over the list of pages, and over the members' list while the door is open.
'use strict';
(() => {
  const words = speech.all('search')
  const root = document.documentElement
  const most = 12 // entries shown
  const byId = id => document.getElementById(id)
  const field = byId('search--field'), found = byId('search--found'), said = byId('search--said')
  if (!field || !lists.able) return
  root.dataset.searches = ''

  const plural = new Intl.PluralRules(root.lang || 'en')
  const count = (forms, n) => (forms[plural.select(n)] ?? forms.other).replace('{n}', n)

  // ---- showing
  function element(name, className, text) {
    const made = document.createElement(name)
    if (className) made.className = className
    if (text) made.textContent = text
    return made
  }

  function line(entry) {
    const item = element('li'), link = element('a', '', entry.title)
    link.href = new URL(entry.path, lists.top).href
    item.append(link, ' ', element('span', 'tag', entry.tag || (entry.kind === 'shelf' ? words.shelf : entry.shelf || entry.kind)))
    if (entry.members) item.append(' ', element('span', 'badge', words.members))
    return item
  }

  function show({ entries, nearly }) {
    found.querySelector('ul').replaceChildren(...entries.slice(0, most).map(line))
    const how = count(nearly ? words.nearly : words.found, entries.length)
    said.textContent = entries.length ? how + (entries.length > most ? count(words.first, most) : '') : words.none
    found.hidden = false
  }

  let asked = 0 // how often something was looked for; what comes later than the next time, or than hiding, is not shown
  function hide() {
    asked++
    found.hidden = true
    said.textContent = ''
  }

  async function look() {
    const query = field.value, turn = ++asked
    if (!match.fold(query)) return hide()
    try {
      const hits = match.find(await lists.prepared(), query)
      if (turn === asked) show(hits)
    } catch {
      found.querySelector('ul').replaceChildren()
      said.textContent = words.unread
      found.hidden = false
    }
  }

  // ---- keys: down and up walk through what was found, Escape leads back and then away
  const links = () => [...found.querySelectorAll('a')]

  function walk(by) {
    const all = links(), at = all.indexOf(document.activeElement) + by
    if (at < 0) field.focus()
    else all[Math.min(at, all.length - 1)]?.focus()
  }

  function pressed(event) {
    if (event.isComposing) return
    const steps = { ArrowDown: 1, ArrowUp: -1 }
    if (event.key in steps && !found.hidden) {
      event.preventDefault()
      walk(steps[event.key])
    } else if (event.key === 'Escape' && !found.hidden) {
      event.preventDefault()
      field.focus()
      hide()
    }
  }

  const box = byId('search')
  box.addEventListener('keydown', pressed)
  box.addEventListener('submit', event => {
    event.preventDefault()
    look().then(() => links()[0]?.click())
  })
  box.addEventListener('focusout', event => {
    if (event.relatedTarget && !box.contains(event.relatedTarget)) hide()
  })
  document.addEventListener('pointerdown', event => { if (!box.contains(event.target)) hide() })
  field.addEventListener('input', look)
  field.addEventListener('focus', () => {
    if (field.value && found.hidden) look()
    else lists.prepared().catch(() => {})
  })
})()

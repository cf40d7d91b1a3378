// The search box: as you type, over the list of pages, and over the members' list while the door is open.
'use strict';
(() => {
  const root = document.documentElement
  const top = new URL(root.dataset.root || './', location.href)
  const most = 12 // entries shown
  const byId = id => document.getElementById(id)
  const field = byId('search--field'), found = byId('search--found'), said = byId('search--said')
  if (!field || location.protocol === 'file:' || top.origin !== location.origin) return
  root.dataset.searches = ''

  // ---- the lists, read when the box is first used
  async function openList() {
    const answer = await fetch(new URL('search.json', top))
    if (!answer.ok) throw new Error('no search list')
    return (await answer.json()).entries
  }

  async function membersList() {
    const content = typeof door === 'undefined' ? null : await door.content().catch(() => null)
    if (!content) return []
    try {
      const box = await door.bytesAt(new URL(root.dataset.sealed, location.href))
      return JSON.parse(new TextDecoder().decode(await seal.open(content, 'search.json', 'application/json', box))).entries
    } catch {
      return [] // an older list than the ring: the open one does
    }
  }

  let list = null, openAtReading = null
  function entries() {
    const open = root.dataset.open ?? ''
    if (!list || openAtReading !== open) {
      openAtReading = open
      list = readLists()
      list.catch(() => { list = null })
    }
    return list
  }

  async function readLists() {
    const [everyone, members] = await Promise.all([openList(), membersList()])
    const byPath = new Map([...everyone, ...members].map(entry => [entry.path, entry]))
    return match.index([...byPath.values()])
  }

  // ---- showing
  function element(name, className, text) {
    const made = document.createElement(name)
    if (className) made.className = className
    if (text) made.textContent = text
    return made
  }

  function line(entry) {
    const item = element('li'), link = element('a', '', entry.title)
    link.href = new URL(entry.path, top).href
    item.append(link, ' ', element('span', 'tag', entry.tag || (entry.kind === 'shelf' ? 'shelf' : entry.shelf || entry.kind)))
    if (entry.members) item.append(' ', element('span', 'badge', 'for members'))
    return item
  }

  function show(hits) {
    found.querySelector('ul').replaceChildren(...hits.slice(0, most).map(line))
    const none = 'Nothing found. Fewer letters may find it.'
    const more = hits.length > most ? ': the first ' + most + ' are shown' : ''
    said.textContent = hits.length ? hits.length + ' found' + more : none
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
      const hits = match.find(await entries(), query)
      if (turn === asked) show(hits)
    } catch {
      found.querySelector('ul').replaceChildren()
      said.textContent = 'The list of pages could not be read. Are you offline?'
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
    else entries().catch(() => {})
  })
})()

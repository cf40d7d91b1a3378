// Reads the lists of pages: the one for everyone, and the members' while the door is open. Shows nothing.
'use strict';
const lists = (() => {
  const root = document.documentElement
  const top = new URL(root.dataset.root || './', location.href)
  const able = location.protocol !== 'file:' && top.origin === location.origin

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

  async function read() {
    const [everyone, members] = await Promise.all([openList(), membersList()])
    const entries = [...new Map([...everyone, ...members].map(entry => [entry.path, entry])).values()]
    for (const entry of entries) {
      for (const version of entry.versions ?? []) version.takes = version.takes.map(at => entry.takes[at])
    }
    return entries
  }

  // prepared gives the list as match.js wants it, read when it is first asked for, and again once the door has opened.
  let list = null, openAtReading = null
  function prepared() {
    const open = root.dataset.open ?? ''
    if (!list || openAtReading !== open) {
      openAtReading = open
      const reading = read().then(match.index)
      list = reading
      reading.catch(() => { if (list === reading) list = null })
    }
    return list
  }

  // forget lets the list be read again.
  function forget() { list = null }

  return { able, top, prepared, forget }
})()

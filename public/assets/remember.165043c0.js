// Keeps who a reader is, so that one unlocking does for the whole handbook: as keys that no script can read the bytes of, in the
// browser's database. Nothing that was opened is kept, and no code.
'use strict';
const remember = (() => {
  const lasting = 3 * 60 * 1000 // milliseconds that the key of a tab outlives its last sign of life
  const beat = 30 * 1000
  const disk = location.protocol === 'file:' // all files share one database there: nothing is kept
  const place = new URL(document.documentElement.dataset.root || './', location.href).pathname // several handbooks may share a host
  const name = 'stillroom-door ' + place
  const gcm = iv => ({ name: 'AES-GCM', iv })

  let opening = null
  function database() {
    opening ??= new Promise((done, fail) => {
      const request = indexedDB.open('stillroom', 1)
      request.onupgradeneeded = () => {
        for (const store of ['members', 'tabs', 'epochs']) request.result.createObjectStore(store)
      }
      request.onsuccess = () => done(request.result)
      request.onerror = () => fail(request.error)
    })
    return opening
  }

  // within does one thing with a store and gives its result.
  async function within(store, mode, act) {
    const dealing = (await database()).transaction(store, mode)
    const request = act(dealing.objectStore(store))
    return new Promise((done, fail) => {
      dealing.oncomplete = () => done(request.result)
      dealing.onerror = dealing.onabort = () => fail(dealing.error)
    })
  }
  const read = (store, key) => within(store, 'readonly', at => at.get(key))
  const write = (store, key, value) => within(store, 'readwrite', at => at.put(value, key))
  const drop = (store, key) => within(store, 'readwrite', at => at.delete(key))

  // ---- for as long as a tab is open: the tab's own storage has the member's key, enciphered; the key to that is in the database.
  // When the tab is closed the one goes and the other is of no use; it is also dropped soon, should the closed tab be brought back.
  function tabNote() {
    try {
      return JSON.parse(sessionStorage.getItem(name))
    } catch {
      return null
    }
  }

  async function saveInTab(who) {
    const id = crypto.randomUUID(), iv = crypto.getRandomValues(new Uint8Array(12))
    const key = await crypto.subtle.generateKey({ name: 'AES-GCM', length: 256 }, false, ['wrapKey', 'unwrapKey'])
    const wrapped = await crypto.subtle.wrapKey('raw', who.wrapKey, key, gcm(iv))
    await write('tabs', id, { key, iv, alive: Date.now() })
    const text = btoa(String.fromCharCode(...new Uint8Array(wrapped)))
    sessionStorage.setItem(name, JSON.stringify({ id, site: who.site, locator: who.locator, wrapped: text }))
    keepAlive(id)
  }

  async function loadFromTab() {
    const note = tabNote()
    if (!note) return null
    const kept = await read('tabs', note.id)
    if (!kept || Date.now() - kept.alive > lasting) {
      await forgetTab(note)
      return null
    }
    const wrapped = Uint8Array.from(atob(note.wrapped), sign => sign.charCodeAt(0))
    const wrapKey = await crypto.subtle.unwrapKey('raw', wrapped, kept.key, gcm(kept.iv), 'AES-GCM', false, ['unwrapKey'])
    keepAlive(note.id)
    return { site: note.site, locator: note.locator, wrapKey, kept: 'tab' }
  }

  function keepAlive(id) {
    const touch = async () => {
      const kept = await read('tabs', id)
      if (kept) await write('tabs', id, { ...kept, alive: Date.now() })
    }
    touch().catch(() => {})
    setInterval(() => touch().catch(() => {}), beat)
  }

  async function forgetTab(note) {
    sessionStorage.removeItem(name)
    await drop('tabs', note.id)
  }

  // ---- what others call
  // load gives the member that is remembered here, with how, or null.
  async function load() {
    if (disk) return null
    const tab = await loadFromTab()
    if (tab) return tab
    const who = await read('members', place)
    return who ? { ...who, kept: 'device' } : null
  }

  // save remembers a member and gives how: on the device, in the tab, or for the page alone where the browser keeps nothing.
  async function save(who, tabOnly) {
    if (disk) return 'page'
    try {
      if (tabOnly) await saveInTab(who)
      else await write('members', place, { site: who.site, locator: who.locator, wrapKey: who.wrapKey })
      return tabOnly ? 'tab' : 'device'
    } catch {
      return 'page'
    }
  }

  // end notes whether a member that the device remembers was found to have no access any more.
  async function end(who, ended) {
    who.ended = ended
    const { site, locator, wrapKey } = who
    await write('members', place, { site, locator, wrapKey, ended }).catch(() => {})
  }

  // forget forgets the member here. The epoch stays: it tells nothing of a member.
  async function forget() {
    if (disk) return
    const note = tabNote()
    if (note) await forgetTab(note)
    await drop('members', place)
  }

  // highest notes an epoch of a site and gives the highest that was seen, this one or an earlier one.
  async function highest(site, epoch) {
    if (disk) return epoch
    try {
      const seen = Math.max(epoch, await read('epochs', site) ?? 0)
      await write('epochs', site, seen)
      return seen
    } catch {
      return epoch
    }
  }

  return { load, save, end, forget, highest, disk, place }
})()

// The door: takes an access code, opens sealed pages with it here in the browser, and forgets it when asked to.
'use strict';
const door = (() => {
  const root = document.documentElement, data = root.dataset
  const byId = id => document.getElementById(id)
  const here = opened.top.origin === location.origin || remember.disk // the page for wrong addresses may point at another host
  const able = isSecureContext && Boolean(globalThis.crypto?.subtle) && typeof DecompressionStream === 'function'
  const others = typeof BroadcastChannel === 'function' && !remember.disk ? new BroadcastChannel('stillroom-door ' + remember.place) : null

  // A Refusal is a reason for not opening: the end of a key under door.
  class Refusal extends Error {
    constructor(reason) {
      super(reason)
      this.reason = reason
    }
  }
  const reasonOf = fault => fault instanceof Refusal ? fault.reason : 'damaged'

  // ---- saying
  function tell(reason, atField = false) {
    if (reason === 'ended') delete data.open
    const place = byId('door--said'), field = byId('door--code')
    if (place) {
      place.textContent = speech.say('door.' + reason)
      place.dataset.said = reason
    }
    field?.setAttribute('aria-invalid', String(atField))
    if (atField) field?.focus()
  }

  function announce(text) {
    const place = byId('announce')
    if (place) place.textContent = text
  }

  function warn(reason) {
    const place = byId('door--warning')
    if (!place) return
    place.textContent = speech.say('door.' + reason)
    place.hidden = false
  }

  // tellOpen shows on the page that the door is open, and until when.
  function tellOpen(kept) {
    data.open = kept
    const place = byId('door--open')
    if (place) place.textContent = speech.say('door.open-' + kept)
  }

  // ---- the ring: a script, since that can be read from a folder too
  function fetchRing(again) {
    const script = document.createElement('script')
    return new Promise((done, fail) => {
      globalThis.stillroomRing = done
      script.src = data.ring + (again ? '?' + Date.now().toString(36) : '')
      script.onload = script.onerror = () => fail(new Refusal('ring'))
      document.head.append(script)
    }).then(seal.checkRing).finally(() => {
      script.remove()
      delete globalThis.stillroomRing
    })
  }

  const settled = 5000 // milliseconds in which a ring that was read anew is not read once more
  let reading = null, renewed = -Infinity
  function ring(again = false) {
    if (again && performance.now() - renewed > settled) {
      renewed = performance.now()
      reading = Promise.resolve(reading).catch(() => {}).then(() => fetchRing(true))
    }
    reading ??= fetchRing(false)
    reading.catch(() => { reading = null })
    return reading
  }

  // ---- who is at the door
  let member = null // who came in on this page
  const whoever = async () => member ??= able && here ? await remember.load().catch(() => null) : null

  // contentOf gives a member's content key. A ring that does not know him is read anew, should it be an old one.
  async function contentOf(who, again = false) {
    const now = await ring(again)
    const content = await seal.unlock(now, who)
    if (!content && !again) return contentOf(who, true)
    if (who.kept === 'device' && Boolean(who.ended) === Boolean(content)) await remember.end(who, !content)
    if (!content) throw new Refusal('ended')
    if (await remember.highest(content.salt, content.epoch) > content.epoch) warn('older')
    return content
  }

  // content gives the content key, or null where nobody has come in; for the search.
  async function content() {
    const who = await whoever()
    return who && data.ring ? contentOf(who) : null
  }

  // ---- opening
  // sealedPage gives the sealed form of this page: in it, or in a file of its own, or in the file that the address names.
  async function sealedPage() {
    const script = byId('sealed-page')
    if (script) return { path: script.dataset.path, type: script.dataset.type, box: seal.fromBase64(script.textContent.trim()) }
    const named = 'lobby' in data && /^\?([0-9a-z]{24})$/.exec(location.search)
    const file = named ? new URL('sealed/' + named[1] + '.bin', opened.top) : data.page && new URL(data.page, location.href)
    if (!file) return null
    if (remember.disk) throw new Refusal('disk')
    return { path: named ? named[1] : data.path, type: 'application/json', box: await bytesAt(file) }
  }

  async function bytesAt(address) {
    const answer = await fetch(address).catch(() => null)
    if (!answer?.ok) throw new Refusal('absent')
    return new Uint8Array(await answer.arrayBuffer())
  }

  // unseal opens a sealed thing; should the ring be an older one than it, the ring is read anew.
  async function unseal(who, { path, type, box }) {
    try {
      return await seal.open(await contentOf(who), path, type, box)
    } catch (fault) {
      if (!(fault instanceof seal.Damaged)) throw fault
      return seal.open(await contentOf(who, true), path, type, box)
    }
  }

  let shown = false
  async function open(who) {
    const sealed = await sealedPage()
    if (!sealed) {
      await contentOf(who)
      return
    }
    const payload = JSON.parse(new TextDecoder().decode(await unseal(who, sealed)))
    const back = scrollBefore()
    opened.show(payload, payload.path ?? sealed.path, async (path, type, file) => {
      return unseal(who, { path, type, box: await bytesAt(file) })
    })
    shown = true
    returnTo(back)
  }

  // scrollBefore tells how far down the reader was when he left this page, if he has come back to it.
  function scrollBefore() {
    const way = performance.getEntriesByType('navigation')[0]?.type
    return ['reload', 'back_forward'].includes(way) ? history.state?.stillroomScroll : undefined
  }

  function returnTo(back) {
    if (back !== undefined) scrollTo({ top: back, behavior: 'instant' })
    else if (location.hash) location.replace(location.hash)
  }

  // ---- coming in
  // whyNot tells what is wrong with what was typed: nothing was, or it is far from a code, or it is a code with a slip in it.
  function whyNot(typed) {
    const signs = typed.match(/[\p{L}\p{N}]/gu)?.length ?? 0
    return signs === 0 ? 'empty' : signs < 16 || signs > 26 ? 'unlike' : 'slip'
  }

  async function enter(event) {
    event.preventDefault()
    const typed = byId('door--code').value, signs = seal.parseCode(typed)
    if (!signs) return tell(whyNot(typed), true)
    const button = byId('door').querySelector('button')
    button.setAttribute('aria-disabled', 'true')
    tell('opening')
    try {
      await admit(signs, byId('door--tab').checked)
    } catch (fault) {
      tell(reasonOf(fault), fault instanceof Refusal && fault.reason === 'unknown')
    } finally {
      button.removeAttribute('aria-disabled')
    }
  }

  async function admit(signs, tabOnly) {
    const who = await seal.member(signs, await ring(), tabOnly)
    await contentOf(who).catch(fault => { throw fault instanceof Refusal && fault.reason === 'ended' ? new Refusal('unknown') : fault })
    member = who
    const kept = await remember.save(who, tabOnly)
    tellOpen(kept)
    if (kept === 'page' && !remember.disk) warn('refused')
    if (kept === 'device') others?.postMessage('opened')
    await open(who)
    greet()
  }

  // greet leads a reader who has just come in to the page's heading, where reading begins.
  function greet() {
    const heading = document.querySelector('main h1')
    if (!heading) return
    heading.tabIndex = -1
    heading.focus({ preventScroll: Boolean(location.hash) })
    announce(speech.say('door.opened', { title: heading.textContent.trim() }))
  }

  async function forget() {
    await remember.forget().catch(() => {})
    others?.postMessage('forgotten')
    leave()
  }

  // leave shows the page as it is for everyone.
  function leave() {
    history.replaceState({ ...history.state, stillroomScroll: 0 }, '')
    location.reload()
  }

  // openIfKnown opens the page to a reader who came in before.
  async function openIfKnown() {
    const who = shown ? null : await whoever()
    if (!who) return
    try {
      if (byId('sealed-page') || data.page || 'lobby' in data) await open(who)
      if (shown || !who.ended) tellOpen(who.kept)
    } catch (fault) {
      const reason = reasonOf(fault)
      if (!who.ended) tellOpen(who.kept) // and can be forgotten
      tell(reason)
      if (!byId('door--said') && reason === 'damaged') warn(reason)
    }
  }

  function heard({ data: news }) {
    if (news === 'opened') openIfKnown()
    else if (shown || data.open) leave()
  }

  function listen() {
    byId('door--forget')?.addEventListener('click', forget)
    others?.addEventListener('message', heard)
    addEventListener('pagehide', () => history.replaceState({ ...history.state, stillroomScroll: scrollY }, ''))
    addEventListener('pageshow', async event => {
      if (event.persisted && shown && !await remember.load().catch(() => null)) leave()
    })
  }

  function start() {
    if (!data.ring || !here) return
    const form = byId('door')
    if (!able) {
      if (form) tell(isSecureContext ? 'dated' : 'insecure')
      return
    }
    if (form) {
      form.addEventListener('submit', enter)
      form.hidden = false
      byId('door--disk').hidden = !remember.disk
      byId('door--tab').closest('p').hidden = remember.disk
    }
    listen()
    openIfKnown()
  }
  start()

  return { content, bytesAt }
})()

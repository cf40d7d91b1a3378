// The service worker: keeps pages, assets, pictures and sealed files as they came over the network, once they were read, and gives
// them again where there is no connection. What was opened in a page never comes by here.
'use strict';
const top = new URL('./', self.location.href).href
const mine = 'stillroom ' + new URL(top).pathname + ' '
const cacheName = mine + (new URL(self.location.href).searchParams.get('v') ?? '')
const patience = 3000 // milliseconds to wait for the network where there is a kept copy
const missing = top + '404.html'

// keyOf gives the address that something is kept under: without its query, and a folder's as that of its page.
function keyOf(address) {
  const url = new URL(address)
  url.search = url.hash = ''
  if (url.pathname.endsWith('/')) url.pathname += 'index.html'
  return url.href
}

const isAsset = key => key.startsWith(top + 'assets/')
const isOurs = key => key.startsWith(top) && !key.startsWith(top + 'sw.js') && !key.startsWith(top + '.')

// keep keeps an answer, and drops one that is gone. A newer form of an asset takes the place of the older.
async function keep(key, answer) {
  const cache = await caches.open(cacheName)
  if ([404, 410].includes(answer.status)) await cache.delete(key)
  if (answer.status !== 200) return
  await cache.put(key, answer)
  if (isAsset(key)) await dropOlder(cache, key)
}

const plainName = key => key.replace(/\.[0-9a-f]{8}(?=\.[^.]*$)/, '')
async function dropOlder(cache, key) {
  for (const { url } of await cache.keys()) {
    if (url !== key && plainName(url) === plainName(key)) await cache.delete(url)
  }
}

const kept = async key => (await caches.open(cacheName)).match(key)

async function fromNetwork(request, key) {
  const answer = await fetch(request)
  const copy = answer.clone()
  return { answer, keeping: keep(key, copy).catch(() => {}) } // a full disk is no reason not to show it
}

async function assetFirst(event, key) {
  const copy = await kept(key)
  if (copy) return copy
  const { answer, keeping } = await fromNetwork(event.request, key)
  event.waitUntil(keeping)
  return answer
}

async function networkFirst(event, key) {
  const coming = fromNetwork(event.request, key)
  event.waitUntil(coming.then(({ keeping }) => keeping, () => {}))
  const copy = await kept(key)
  const late = new Promise(done => { if (copy) setTimeout(done, patience, copy) })
  try {
    return await Promise.race([coming.then(({ answer }) => answer), late])
  } catch {
    return copy ?? (event.request.mode === 'navigate' ? offline() : Response.error())
  }
}

// offline gives the page for wrong addresses with a sentence on why it is shown. It may stand at any depth, so its addresses
// begin at the top.
async function offline() {
  const headers = { 'Content-Type': 'text/html; charset=utf-8' }
  const page = await kept(missing)
  if (!page) return Response.error() // the browser says so itself, in its reader's language
  let text = await page.text()
  const from = /<html[^>]* data-root="([^"]+)"/.exec(text)?.[1] ?? './'
  text = text.replaceAll('="' + from, '="' + top)
  for (const id of ['offline', 'offline-head']) text = text.replace('id="' + id + '" hidden', 'id="' + id + '"')
  for (const id of ['no-such-page', 'no-such-head']) text = text.replace('id="' + id + '"', 'id="' + id + '" hidden')
  const [wrong, right] = ['no-such-head" hidden', 'offline-head"'].map(id => text.split('id="' + id + '>')[1]?.split('<')[0])
  if (wrong && right) text = text.replace('<title>' + wrong, () => '<title>' + right)
  return new Response(text, { status: 503, headers })
}

self.addEventListener('fetch', event => {
  const { request } = event
  const key = keyOf(request.url)
  if (request.method !== 'GET' || request.headers.has('range') || !isOurs(key)) return
  event.respondWith(isAsset(key) ? assetFirst(event, key) : networkFirst(event, key))
})

async function fetchAndKeep(address) {
  const key = keyOf(address)
  if (isOurs(key) && !await kept(key)) await keep(key, await fetch(key))
}

self.addEventListener('install', event => event.waitUntil(fetchAndKeep(missing).catch(() => {}).then(() => self.skipWaiting())))

self.addEventListener('activate', event => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith(mine) && name !== cacheName) await caches.delete(name)
  await self.clients.claim()
})()))

self.addEventListener('message', event => {
  event.waitUntil(Promise.allSettled((event.data?.keep ?? []).map(fetchAndKeep)))
})

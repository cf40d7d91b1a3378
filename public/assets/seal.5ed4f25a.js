// Reads what package seal writes: access codes, the ring of members, sealed pages. It touches no page and keeps nothing.
'use strict';
const seal = (() => {
  const alphabet = '0123456789ABCDEFGHJKMNPQRSTVWXYZ'
  const maxPage = 32 << 20 // bytes that may come out of a sealed page
  const maxRounds = 10_000_000
  const maxEpoch = 1_000_000_000
  const nonceSize = 12
  const utf8 = new TextEncoder()

  // Damaged says that something is not as it was sealed.
  class Damaged extends Error {}

  const joined = (...parts) => parts.join('\0')
  const fromHex = text => Uint8Array.from(text.match(/../g) ?? [], pair => parseInt(pair, 16))
  const toHex = bytes => [...bytes].map(byte => byte.toString(16).padStart(2, '0')).join('')

  function fromBase64(text) {
    try {
      return Uint8Array.from(atob(text), sign => sign.charCodeAt(0))
    } catch {
      throw new Damaged('base64')
    }
  }

  // parseCode gives the 20 signs of a code as it was typed, or null where it has a slip.
  function parseCode(typed) {
    const signs = typed.replace(/[\s\u0085\u200b\u2212\p{Pd}]/gu, '').replace(/[a-z]/g, letter => letter.toUpperCase())
      .replace(/[IL]/g, '1').replace(/O/g, '0')
    if (signs.length !== 21) return null
    let sum = 0
    for (const sign of signs) {
      const worth = alphabet.indexOf(sign)
      if (worth < 0) return null
      sum = 2 * sum
      if (sum >= 32) sum ^= 37
      sum ^= worth
    }
    return sum === 0 ? signs.slice(0, 20) : null
  }

  // checkRing gives a ring back if it is one that can be read.
  function checkRing(ring) {
    const whole = (n, most) => Number.isInteger(n) && n >= 1 && n <= most
    const right = ring?.version === 1 && /^[0-9a-f]{32}$/.test(ring.salt) && whole(ring.rounds, maxRounds) &&
      whole(ring.epoch, maxEpoch) && typeof ring.entries === 'object' && ring.entries !== null
    if (!right) throw new Damaged('ring')
    return ring
  }

  const hkdf = (ring, info) => ({ name: 'HKDF', hash: 'SHA-256', salt: fromHex(ring.salt), info: utf8.encode(info) })

  // member works out who a code is at a site: the locator in its ring, and the key that opens the entry there. The key's bytes can be
  // had only if it is asked to be wrappable.
  async function member(signs, ring, wrappable = false) {
    const { subtle } = crypto
    const code = await subtle.importKey('raw', utf8.encode(signs), 'PBKDF2', false, ['deriveBits'])
    const stretch = { name: 'PBKDF2', hash: 'SHA-256', salt: fromHex(ring.salt), iterations: ring.rounds }
    const key = await subtle.importKey('raw', await subtle.deriveBits(stretch, code, 256), 'HKDF', false, ['deriveBits', 'deriveKey'])
    const locator = await subtle.deriveBits(hkdf(ring, 'locator'), key, 128)
    const wrapKey = await subtle.deriveKey(hkdf(ring, 'wrap'), key, { name: 'AES-GCM', length: 256 }, wrappable, ['unwrapKey'])
    return { site: ring.salt, locator: toHex(new Uint8Array(locator)), wrapKey }
  }

  const has = (ring, who) => who.site === ring.salt && Object.hasOwn(ring.entries, who.locator)

  // unlock gives a member the content key of a ring's epoch, or null where the ring has no such member.
  async function unlock(ring, who) {
    if (!has(ring, who)) return null
    const box = fromBase64(ring.entries[who.locator])
    const aad = joined('wrap', '1', ring.salt, ring.epoch, who.locator)
    try {
      const key = await crypto.subtle.unwrapKey('raw', box.subarray(nonceSize), who.wrapKey, gcm(box, aad), 'HKDF', false, ['deriveKey'])
      return { key, salt: ring.salt, epoch: ring.epoch }
    } catch {
      throw new Damaged('entry')
    }
  }

  const gcm = (box, aad) => ({ name: 'AES-GCM', iv: box.subarray(0, nonceSize), additionalData: utf8.encode(aad) })

  // open gives the bytes of a sealed thing, for the path and media type that it was sealed for.
  async function open(content, path, type, box) {
    const { subtle } = crypto
    const key = await subtle.deriveKey(hkdf(content, joined('page', path)), content.key, { name: 'AES-GCM', length: 256 }, false, ['decrypt'])
    const aad = joined('sealed-page', '1', content.salt, content.epoch, path, type)
    let packed
    try {
      packed = new Uint8Array(await subtle.decrypt(gcm(box, aad), key, box.subarray(nonceSize)))
    } catch {
      throw new Damaged(path)
    }
    return unpack(packed)
  }

  // unpack takes off what hides the size.
  async function unpack(packed) {
    if (packed.length < 5) throw new Damaged('length')
    const size = new DataView(packed.buffer, packed.byteOffset).getUint32(1)
    if (size > packed.length - 5 || packed.subarray(5 + size).some(byte => byte !== 0)) throw new Damaged('length')
    const data = packed.subarray(5, 5 + size)
    if (packed[0] === 0 && size <= maxPage) return data
    if (packed[0] === 1) return inflate(data)
    throw new Damaged('coding')
  }

  async function inflate(data) {
    const parts = []
    let size = 0
    try {
      const stream = new Blob([data]).stream().pipeThrough(new DecompressionStream('gzip'))
      for (const reader = stream.getReader(); ;) {
        const { done, value } = await reader.read()
        if (done) break
        size += value.length
        if (size > maxPage) throw new Damaged('size')
        parts.push(value)
      }
    } catch {
      throw new Damaged('gzip')
    }
    return new Uint8Array(await new Blob(parts).arrayBuffer())
  }

  return { Damaged, parseCode, checkRing, member, unlock, open, fromBase64 }
})()

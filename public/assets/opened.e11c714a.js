// Puts what a sealed page opened to in the place of its teaser: the content, the title, the menu and the edition's mark. Scripts in
// it never run. Pictures and downloads that are sealed too become addresses that hold for this page alone.
'use strict';
const opened = (() => {
  const root = document.documentElement
  const top = new URL(root.dataset.root || './', location.href)
  const all = (selector, from) => [...from.querySelectorAll(selector)]

  // pathFrom gives an address as a path from the top of the handbook, or "" where it leads elsewhere.
  function pathFrom(address) {
    if (!address.href.startsWith(top.href)) return ''
    try {
      return decodeURIComponent(address.href.slice(top.href.length).replace(/[?#].*$/, ''))
    } catch {
      return ''
    }
  }

  // disarm takes out whatever could act on its own; data that no browser runs may stay.
  function disarm(page) {
    for (const element of all('script:not([type="application/json"]), style, link, iframe, object, embed, base, meta', page.body)) element.remove()
    for (const element of all('*', page.body)) {
      for (const { name } of [...element.attributes]) if (name.startsWith('on')) element.removeAttribute(name)
    }
  }

  // settle leads every address of the page to where it means, seen from where it is shown, and gives the sealed pictures that
  // it needs, each with the elements that wait for it.
  function settle(page, payload, base) {
    const waiting = new Map()
    for (const element of all('[href], [src]', page.body)) {
      const key = element.hasAttribute('href') ? 'href' : 'src', written = element.getAttribute(key)
      if (written.startsWith('#')) continue
      const address = URL.canParse(written, base) ? new URL(written, base) : null
      if (!address || !['https:', 'http:', 'mailto:', 'file:'].includes(address.protocol)) {
        element.removeAttribute(key)
        continue
      }
      const path = pathFrom(address)
      if (Object.hasOwn(payload.files ?? {}, written)) {
        offer(element, written, new Blob([payload.files[written]], { type: typeOf(written) }))
      } else if (path && Object.hasOwn(payload.pictures ?? {}, path)) {
        element.removeAttribute(key)
        waiting.set(path, [...waiting.get(path) ?? [], element])
      } else if (path && Object.hasOwn(payload.pages ?? {}, path)) {
        element.setAttribute(key, new URL('sealed/index.html?' + payload.pages[path] + address.hash, top).href)
      } else {
        element.setAttribute(key, address.href)
      }
    }
    return waiting
  }

  const typeOf = file => file.endsWith('.csv') ? 'text/csv;charset=utf-8' : file.endsWith('.json') ? 'application/json' : 'text/plain;charset=utf-8'

  // offer makes a link a download of something that is at no address.
  function offer(link, name, blob) {
    link.href = URL.createObjectURL(blob)
    link.download = name
  }

  function exchange(selector, page) {
    const old = document.querySelector(selector), fresh = page.querySelector(selector)
    if (old && fresh) old.replaceWith(document.adoptNode(fresh))
  }

  // show puts a payload on the page; its pictures follow as they come. path is the page's, from the top; picture opens a sealed picture.
  function show(payload, path, picture) {
    const page = new DOMParser().parseFromString(payload.page, 'text/html')
    if (!page.querySelector('main')) throw new seal.Damaged('page')
    disarm(page)
    const waiting = settle(page, payload, new URL(path, top))
    document.title = page.title
    document.body.className = page.body.className
    for (const selector of ['main', '.top .menu', '.top .book']) exchange(selector, page)
    document.querySelector('main').dataset.unsealed = ''
    document.dispatchEvent(new Event('newpage'))
    for (const [at, elements] of waiting) hang(elements, at, payload.pictures[at], picture)
  }

  async function hang(elements, path, { name, type }, picture) {
    try {
      const blob = new Blob([await picture(path, type, new URL(name, top))], { type })
      for (const element of elements) place(element, path, blob)
    } catch {
      for (const element of elements) element.classList.add('unseen') // its words stand for it
    }
  }

  function place(element, path, blob) {
    if (element.localName === 'img') element.src = URL.createObjectURL(blob)
    else offer(element, path.split('/').pop(), blob)
  }

  return { show, top }
})()

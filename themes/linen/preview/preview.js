// Keeps an open page in step with the handbook: hears of a change, fetches the page again, morphs it in place and marks what is
// new. What the writer chose, typed, opened or scrolled to stays. Made for /-/events as the preview's server tells it.
'use strict';
(() => {
  const root = document.documentElement
  const told = 2000 // milliseconds without a connection before the writer is told
  const retry = 500 // milliseconds before something that failed is tried again
  const number = /\d+(?:[.,⁄]\d+)*|[½¼¾⅓⅔⅛⅜⅝⅞]/g
  const ours = ['preview--status', 'preview--said'] // what this script writes and the server leaves empty

  const byId = id => document.getElementById(id)
  const all = (selector, from = document) => [...from.querySelectorAll(selector)]
  const words = text => text.replace(/\s+/g, ' ').trim()
  const numbers = text => (text.match(number) ?? []).map(plain).join(' ')
  const plain = figure => figure.replace(/(\.\d*?)0+$/, '$1').replace(/\.$/, '') // 4.00 and 4.0 are the same
  const shape = text => words(text.replace(number, '#')) // what a text says, whatever its figures are
  const seen = element => element.checkVisibility()
  const count = (n, one, many) => n ? [n + ' ' + (n === 1 ? one : many)] : []

  function write(id, text, state) {
    const place = byId(id)
    if (!place) return
    if (place.textContent !== text) place.textContent = text
    if (state) place.dataset.state = state
  }

  // keyed gives each thing a key of its own: things with the same key are told apart by their order.
  function keyed(things, keyOf) {
    const times = new Map(), out = new Map()
    for (const thing of things) {
      const key = keyOf(thing), n = times.get(key) ?? 0
      times.set(key, n + 1)
      out.set(key + '\n' + n, thing)
    }
    return out
  }

  // ---- what the page says: rows of figures, amounts in the method, findings
  const outside = element => !element.closest('#preview--panel, #preview--problems')
  const tableName = table => shape(table.caption?.textContent ?? '') + '\n' + (table.closest('section[id]')?.id ?? '')

  function rowName(row) {
    const head = row.querySelector('th') ?? row.cells[0]
    return shape((head?.querySelector('a, .title') ?? head)?.textContent ?? '')
  }

  function amountName(amount) {
    const block = amount.closest('li, p, td, th, dd, blockquote') ?? amount
    return shape(block.textContent)
  }

  function findingName(finding) {
    const version = finding.closest('.version')
    return (version?.querySelector('h3')?.textContent ?? version?.className) + '\n' + finding.dataset.code + '\n' + shape(finding.textContent)
  }

  // leaves gives the places of an amount that hold one figure each: one for each version and batch.
  function leaves(amount) {
    const spans = all('span', amount).filter(span => !span.querySelector('span'))
    return spans.length ? spans : [amount]
  }

  function read() {
    const tables = all('table').filter(outside)
    const rows = keyed(tables.flatMap(table => [...table.rows]), row => tableName(row.closest('table')) + '\n' + rowName(row))
    const amounts = keyed(all('.amount').filter(a => outside(a) && !a.closest('table')), amountName)
    return { tables: new Set(tables.map(tableName)), rows, amounts, findings: keyed(all('.finding').filter(outside), findingName) }
  }

  // remember keeps of what was read what a morph would change under our hands.
  function remember() {
    const { tables, rows, amounts, findings } = read()
    const texts = (map, parts) => new Map([...map].map(([key, thing]) => [key, parts(thing).map(part => numbers(part.textContent))]))
    return {
      tables,
      rows: texts(rows, row => [...row.cells]),
      amounts: texts(amounts, leaves),
      findings: new Map([...findings].map(([key, finding]) => [key, seen(finding)])),
    }
  }

  // ---- marking
  // changed gives the parts whose figures differ from those before, each marked with what it was.
  function changed(parts, before) {
    if (before?.length !== parts.length) return []
    return parts.filter((part, i) => {
      const differs = numbers(part.textContent) !== before[i]
      if (differs) part.dataset.changed = before[i]
      return differs
    })
  }

  function fresh(things) {
    for (const thing of things) thing.dataset.new = ''
    return things
  }

  function mark(before) {
    const now = read()
    const figures = [], lines = []
    for (const [key, row] of now.rows) {
      if (before.rows.has(key)) figures.push(...changed([...row.cells], before.rows.get(key)))
      else if (before.tables.has(tableName(row.closest('table')))) lines.push(...fresh([row]))
    }
    for (const [key, amount] of now.amounts) figures.push(...changed(leaves(amount), before.amounts.get(key)))
    const findings = fresh([...now.findings].filter(([key]) => !before.findings.has(key)).map(([, finding]) => finding))
    const gone = [...before.findings].filter(([key, shown]) => shown && !now.findings.has(key))
    return sentence(figures, lines, findings, gone.length)
  }

  function sentence(figures, lines, findings, gone) {
    const parts = [
      ...count(figures.filter(seen).length, 'figure changed', 'figures changed'),
      ...count(lines.filter(seen).length, 'line added', 'lines added'),
      ...count(findings.filter(seen).length, 'new finding', 'new findings'),
      ...count(gone, 'finding gone', 'findings gone'),
    ]
    if (parts.length) return parts.join(', ')
    return figures.length + lines.length + findings.length ? 'changed in another version or batch' : ''
  }

  // ---- keeping what the writer did: it is written into the new page before that takes the old one's place
  function keep(page) {
    for (const box of all('input:is([type=radio], [type=checkbox])')) keepChoice(page, box)
    for (const field of all('input:not([type=radio], [type=checkbox], [type=file], [type=hidden], [type=submit]), textarea, select')) keepText(page, field)
    const ways = keyed(all('details', page), detailsName)
    for (const [key, details] of keyed(all('details'), detailsName)) ways.get(key)?.toggleAttribute('open', details.open)
  }

  // keepChoice goes by what a choice is called, since its place may have changed; then by its place.
  function keepChoice(page, box) {
    const label = one => words(one.labels?.[0]?.textContent ?? '')
    const group = all('input', page).filter(one => one.type === box.type && one.name === box.name)
    const same = group.find(one => label(one) && label(one) === label(box)) ?? group.find(one => one.id === box.id)
    if (!same || box.type === 'radio' && !box.checked) return
    if (box.type === 'radio') for (const one of group) one.toggleAttribute('checked', false)
    same.toggleAttribute('checked', box.checked)
    same.checked = box.checked
  }

  function keepText(page, field) {
    const id = field.id && CSS.escape(field.id)
    const same = page.querySelector(id ? field.localName + '#' + id : field.localName + '[name="' + CSS.escape(field.name) + '"]')
    if (!same) return
    same.value = field.value
    if (same.localName === 'input') same.setAttribute('value', field.value)
  }

  const detailsName = details => details.id ||
    (details.closest('.version')?.className ?? '') + '\n' + shape(details.querySelector('summary')?.textContent ?? '')

  // ---- pictures and style sheets
  const stale = new Map() // picture's path from the top → the query that loads it again
  const pathOf = image => {
    try {
      return decodeURIComponent(new URL(image.getAttribute('src'), location.href).pathname.slice(1))
    } catch {
      return ''
    }
  }

  function renewPictures(paths) {
    const query = '?n=' + Date.now().toString(36)
    for (const path of paths) stale.set(path, query)
  }

  function freshenPictures(page) {
    for (const image of all('img[src]', page)) {
      const query = stale.get(pathOf(image))
      if (query) image.setAttribute('src', image.getAttribute('src') + query)
    }
  }

  // swapStyles puts in the style sheets that the new page has beside the old ones, and gives what takes the old ones out.
  async function swapStyles(page) {
    const sheets = from => all('link[rel=stylesheet]', from.head)
    const old = new Map(sheets(document).map(sheet => [sheet.getAttribute('href'), sheet]))
    const loads = []
    let next = null
    for (const wanted of sheets(page).reverse()) {
      const href = wanted.getAttribute('href')
      let sheet = old.get(href)
      if (!old.delete(href)) {
        sheet = document.importNode(wanted)
        loads.push(new Promise(done => { sheet.onload = sheet.onerror = done }))
        document.head.insertBefore(sheet, next)
      }
      next = sheet
    }
    await Promise.race([Promise.all(loads), new Promise(done => setTimeout(done, told))])
    return () => { for (const sheet of old.values()) sheet.remove() }
  }

  // ---- the page again
  function morph(page) {
    Idiomorph.morph(document.body, page.body, {
      ignoreActiveValue: true,
      callbacks: { beforeNodeMorphed: node => !ours.includes(node.id), beforeNodeRemoved: node => node.dataset?.bench === undefined },
    })
    document.title = page.title
    root.lang = page.documentElement.lang
    root.dataset.preview = page.documentElement.dataset.preview
    document.dispatchEvent(new Event('newpage')) // scripts do again what they do with a page
  }

  async function renew() {
    write('preview--said', '')
    const answer = await fetch(location.pathname + location.search, { cache: 'no-store' })
    const page = new DOMParser().parseFromString(await answer.text(), 'text/html')
    if (!page.documentElement.dataset.preview) throw new Error('not a page of the preview')
    const takeOut = await swapStyles(page)
    const before = remember()
    keep(page)
    freshenPictures(page)
    morph(page)
    takeOut()
    write('preview--said', mark(before))
    write('preview--status', 'up to date', 'watching')
  }

  let busy = false, again = false
  async function refresh() {
    again = true
    if (busy) return
    busy = true
    try {
      while (again) {
        again = false
        await renew()
      }
    } catch {
      setTimeout(() => { if (source) refresh() }, retry)
    }
    busy = false
  }

  // ---- listening, only while the page is seen: a browser allows few connections to one host
  let source = null, boot = null, silence = 0

  function heard(event) {
    clearTimeout(silence)
    silence = 0
    const news = JSON.parse(event.data)
    const restarted = boot !== null && news.boot !== boot
    const behind = restarted || String(news.number) !== root.dataset.preview
    boot = news.boot
    if (!behind) {
      if (!busy) write('preview--status', 'watching', 'watching')
      return
    }
    renewPictures(event.type === 'now' ? all('img[src]').map(pathOf) : news.pictures ?? [])
    refresh()
  }

  function lost() {
    silence ||= setTimeout(() => write('preview--status', 'the tool has stopped; waiting for it', 'stopped'), told)
    if (source?.readyState !== EventSource.CLOSED) return // the browser tries again by itself
    source = null
    setTimeout(listen, retry)
  }

  function listen() {
    if (source || document.hidden) return
    source = new EventSource('/-/events')
    source.addEventListener('now', heard)
    source.addEventListener('change', heard)
    source.onerror = lost
  }

  function rest() {
    source?.close()
    source = null
    clearTimeout(silence)
    silence = 0
  }

  document.addEventListener('visibilitychange', () => document.hidden ? rest() : listen())
  addEventListener('pagehide', rest)
  addEventListener('pageshow', listen)

  // ---- the panel: open where there is room beside the page, or as the writer left it
  const fold = byId('preview--fold')
  if (fold) {
    const name = 'preview--fold'
    const recall = () => { try { return sessionStorage.getItem(name) } catch { return null } }
    const store = way => { try { sessionStorage.setItem(name, way) } catch { /* nothing is remembered then */ } }
    const roomy = () => getComputedStyle(byId(name)).getPropertyValue('--preview-room').trim() === 'yes'
    let open = recall() === null ? roomy() : recall() === 'open'
    fold.open = open
    addEventListener('resize', () => {
      const panel = byId(name)
      if (panel && recall() === null && panel.open === open) panel.open = open = roomy()
    })
    addEventListener('pagehide', () => {
      const left = byId(name)?.open ?? open
      if (left !== open) store(left ? 'open' : 'folded')
    })
  }

  write('preview--status', 'not watching yet', 'waiting')
  listen()
})()

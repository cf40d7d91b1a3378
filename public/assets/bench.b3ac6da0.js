// At the bench: batches of any size, grams or ounces first, ticks for what is weighed and done, the weights at hand while reading the steps,
// and a screen that stays on. Of a page for members no more is kept than indices of ticks and choices.
'use strict';
(() => {
  const words = speech.all('bench')
  const fill = (text, places = {}) => text.replace(/\{(\w+)\}/g, (_, name) => places[name])
  const old = 12 * 3600 * 1000 // milliseconds after which ticks are told to be of an earlier day

  const root = document.documentElement
  const byId = id => document.getElementById(id)
  const all = (selector, from = document) => [...from.querySelectorAll(selector)]
  const make = (tag, attributes = {}, ...children) => {
    const element = document.createElement(tag)
    for (const [name, value] of Object.entries(attributes)) if (value !== false) element.setAttribute(name, value === true ? '' : value)
    element.append(...children)
    return element
  }
  const figure = speech.number

  // hash tells one text from another and says nothing else of it (FNV-1a of 32 bits).
  function hash(text) {
    let h = 0x811c9dc5
    for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193)
    return (h >>> 0).toString(36)
  }

  // ---- what this device keeps of a page
  const store = {
    read(name) {
      try {
        return JSON.parse(localStorage.getItem(name))
      } catch {
        return null
      }
    },
    write(name, value) {
      try {
        if (value === null) localStorage.removeItem(name)
        else localStorage.setItem(name, JSON.stringify(value))
      } catch { /* it lasts as long as the page then */ }
    },
  }

  let page = null // of the recipe that is shown, else null
  const unitKey = 'stillroom-weights'
  const pageKey = () => 'stillroom-bench ' + location.pathname + location.search
  const keep = () => store.write(pageKey(), page.kept)

  const version = () => document.querySelector('input[name="version"]:checked')?.value ?? 'v1'
  const batch = () => document.querySelector('input[name="batch"]:checked')?.value ?? 'b1'
  const section = () => document.querySelector(`section.version.${version()}`)
  const tableOf = place => place?.querySelector('table.formula')
  const linesOf = table => table ? all('tbody tr:not(.phase)', table) : []
  const stepsOf = () => all('.method .prose > ol > li')
  const sizeOf = id => id === 'b0' ? page.own.size : tableOf(section())?.querySelector(`thead .${id}`)?.textContent.trim() ?? ''
  const tell = (...said) => byId('bench--said').replaceChildren(...said)
  const resultOf = id => page.own?.results[page.data.versions.findIndex(v => v.id === id)]

  // ---- a batch of another size: one more column in each table, one more choice, one more figure in each amount
  function weighOut(text, id = version()) {
    const { versions } = page.data, results = versions.map(v => weigh.batch(page.data, v, text))
    const refused = results[versions.findIndex(v => v.id === id)].error
    byId('bench--field').setAttribute('aria-invalid', String(Boolean(refused)))
    if (refused) {
      tell(refusal(refused, results))
      return false
    }
    page.own = { text, results, size: results.find(r => !r.error).size }
    page.kept.own = page.sealed ? undefined : text
    keep()
    drawOwn()
    return true
  }

  // refusal says why a version has no such batch, and which versions have.
  function refusal(refused, results) {
    const having = page.data.versions.filter((_, i) => !results[i].error).map(v => byId(v.id)?.labels[0]?.textContent).filter(Boolean)
    const hint = having.length ? fill(words.elsewhere, { versions: having.join(', ') }) : refused.hint
    return fill(words.refused, { ...refused, hint }).trim()
  }

  // sayWeighed says that the batch is weighed out, how many stops and cautions it has, and where they stand.
  function sayWeighed() {
    const { cautions } = resultOf(version()), stops = cautions.filter(c => c.level === 'stop').length
    const said = fill(words.weighed, page.own)
    if (!cautions.length) return tell(said)
    const counts = [['stops', stops], ['cautions', cautions.length - stops]].filter(([, count]) => count).map(([key, count]) => speech.say('bench.' + key, { count }))
    tell(...stops ? [make('strong', { class: 'mark stop' }, words.unmade), ' '] : [], said + ' ', make('a', { href: '#bench--own-' + version() }, counts.join(', ')))
  }

  function drawOwn() {
    all('.b0, .own-row, .own-cautions, .own-mark', page.main).forEach(e => e.remove())
    page.data.versions.forEach((v, i) => {
      const result = page.own.results[i], place = page.main.querySelector(`section.version.${v.id}`)
      const table = tableOf(place)
      if (!table) return
      drawColumn(table, result)
      if (result.cautions) {
        table.after(cautionsOf(result, v.id))
        drawMarks(table, result)
      }
      for (const amount of all(`.amount > .${v.id}`, page.main)) drawAmount(amount, result)
    })
    const portions = page.main.querySelector('table.portions')
    if (portions) drawPortions(portions, page.own.results[0])
    drawPick()
  }

  function weightCell({ g, oz } = {}, balance = false) {
    if (!g) return make('td', { class: 'b b0' }, make('span', { class: 'g' }, '–'))
    const grams = make('span', { class: 'g' }, ...balance ? [make('span', { class: 'evens' }, '*'), ' '] : [], figure(g), make('small', {}, ' g'))
    return make('td', { class: 'b b0' }, grams, ' ', make('span', { class: 'oz' }, figure(oz) + ' oz'))
  }

  // halted says whether a batch is not to be made as it is.
  const halted = result => Boolean(result?.cautions?.some(c => c.level === 'stop'))
  const head = result => make('th', { scope: 'col', class: 'b b0' }, page.own.size, ...halted(result) ? [' ', make('span', { class: 'mark stop' }, words.unmade)] : [])

  // drawMarks marks the lines that cannot be weighed closely, as other findings mark theirs.
  function drawMarks(table, { cautions }) {
    const rows = linesOf(table)
    for (const { item, level } of cautions) {
      const name = rows[item].querySelector('.name'), mark = make('span', { class: `mark ${level} own-mark` }, level === 'stop' ? words.markStop : words.markCaution)
      const after = name.querySelector('a') ?? [...name.childNodes].find(n => n.nodeType === Node.TEXT_NODE && n.data.trim())
      if (after && !name.querySelector(`.mark.${level}`)) after.after(' ', mark)
    }
  }

  // addCell puts a cell after a row's last batch; a row without batches grows wider.
  function addCell(row, cell, widths) {
    const last = all('.b', row).pop()
    if (last) last.after(cell)
    else if (row.cells[0]) row.cells[0].colSpan = widths
  }

  // widthOf gives how many columns a table has, and sets its look for that many batches.
  function widthOf(table) {
    const heads = all('thead .b', table).length
    table.classList.toggle('one', heads === 1)
    table.classList.toggle('many', heads > 4)
    return table.tHead.rows[0].cells.length
  }

  function drawColumn(table, result) {
    addCell(table.tHead.rows[0], head(result))
    const width = widthOf(table)
    let item = 0, phase = 0
    for (const row of all('tbody tr', table)) {
      if (!row.classList.contains('phase')) {
        addCell(row, weightCell(result.weights?.[item], result.balance === item), width)
        item++
        continue
      }
      const sum = result.phases?.[phase++], cell = make('td', { class: 'b b0' })
      if (sum) cell.append(make('span', { class: 'sum' }, figure(sum) + ' g'))
      addCell(row, cell, width)
    }
    addCell(table.querySelector('.total'), weightCell(result.total), width)
    drawFoot(table, result, width)
  }

  // drawFoot says what the batch fills, or why it is not to be had.
  function drawFoot(table, result, width) {
    const text = result.error ? result.error.message : result.fill
    const cell = make('td', { class: 'b b0' }, result.error ? make('span', { class: 'missing' }, text) : text ?? '')
    const row = table.querySelector('tfoot .fills')
    const legend = table.querySelector('tfoot .legend')
    if (row) addCell(row, cell, width)
    else if (text) {
      const fresh = make('tr', { class: 'fills own-row' }, make('th', { scope: 'row', class: 'name' }, words.fills), make('td', { class: 'pct' }))
      for (const head of all('thead :is(.b, .write)', table)) fresh.append(head.matches('.b0') ? cell : make('td', { class: head.className }))
      if (legend) legend.before(fresh)
      else table.tFoot.append(fresh)
    }
    if (legend) legend.cells[0].colSpan = width
    else if (result.balance >= 0) {
      const note = make('td', { colspan: width }, make('span', { class: 'evens' }, '*'), ' ' + words.legend)
      table.tFoot.append(make('tr', { class: 'legend own-row' }, note))
    }
  }

  function drawPortions(table, result) {
    addCell(table.tHead.rows[0], head(result))
    const width = widthOf(table)
    all('tbody', table).forEach((body, i) => {
      const portion = result.portions?.[i]
      const cells = portion ? [portion.base, ...portion.adds, portion.total] : []
      ;[...body.rows].forEach((row, j) => addCell(row, weightCell(cells[j]), width))
    })
    const row = table.querySelector('tfoot .fills')
    if (row) addCell(row, make('td', { class: 'b b0' }, result.error?.message ?? ''), width)
  }

  function drawAmount(amount, result) {
    const items = amount.dataset.items?.split(' ').map(Number), figures = amount.querySelectorAll(':scope > span')
    const place = make('span', { class: 'b0' })
    if (result.error) place.append(words.noBatch)
    else if (!items) place.append(words.none)
    else {
      const { g, oz } = result.sum(items)
      place.append(figure(g) + ' g ', make('small', {}, figure(oz) + ' oz'))
    }
    if (figures.length) figures[figures.length - 1].after(place)
    else amount.prepend(place)
  }

  // cautionsOf lists what cannot be weighed closely, what stops first; what to do is the same for all.
  function cautionsOf(result, id) {
    const list = make('div', { class: 'own-cautions', id: 'bench--own-' + id, tabindex: -1 }), stops = result.cautions.filter(c => c.level === 'stop')
    if (stops.length) list.append(make('p', { class: 'halt' }, make('strong', {}, fill(words.halt, page.own)), ' ' + words.limits))
    else list.append(make('p', { class: 'remark' }, words.checked))
    if (result.cautions.length) {
      list.append(make('ul', { class: 'findings' }, ...[...stops, ...result.cautions.filter(c => c.level !== 'stop')].map(c => make('li', { class: 'finding ' + c.level },
        make('p', {}, make('strong', { class: 'level' }, c.level === 'stop' ? words.stop : words.caution), ' ' + c.message)))))
      list.append(make('p', { class: 'mend' }, fill(words.mend, result.cautions[0])))
    }
    return list
  }

  // drawPick makes the batch one of the choices; where there was nothing to choose, the choosing too.
  function drawPick() {
    let form = page.main.querySelector('.choose')
    if (!form) {
      form = make('form', { class: 'choose', method: 'dialog', id: 'bench--choose', 'data-bench': true })
      byId('bench--tools').before(form)
    }
    let group = form.querySelector('input[name="batch"]')?.closest('fieldset')
    if (!group) {
      group = make('fieldset', { id: 'bench--batches', 'data-bench': true }, make('legend', {}, words.batch), choice('b1', sizeOf('b1'), true))
      form.append(group)
    }
    const label = byId('b0')?.labels[0]
    if (label) label.textContent = page.own.size
    else group.append(choice('b0', page.own.size, false))
  }

  function choice(id, size, checked) {
    const input = make('input', { type: 'radio', name: 'batch', id, value: id, checked })
    return make('span', { class: 'pick', id: 'bench--pick-' + id, 'data-bench': true }, input, make('label', { for: id }, size))
  }

  function choose(name, id) {
    const input = id && byId(id)
    if (!input || input.name !== name || input.checked) return
    input.checked = true
    chosen()
  }

  // keepSensible gives up the reader's own size in a version that has no such batch, and takes it up again in one that has.
  function keepSensible() {
    const { error } = resultOf(version()) ?? {}
    if (batch() !== 'b0') {
      page.written = batch()
      if (!page.waiting || error) return
      byId('b0').checked = true
      page.waiting = false
    }
    if (!error) return sayWeighed()
    page.waiting = true
    byId(page.written ?? 'b1').checked = true
    tell(fill(words.lost, { refused: refusal(error, page.own.results), shown: sizeOf(batch()) }))
  }

  // chosen goes by what is chosen now, and keeps it.
  function chosen() {
    tell()
    keepSensible()
    page.chosen = { version: version(), batch: batch() }
    page.kept.chosen = { ...page.chosen, of: choicesHash() }
    keep()
    showTicks()
  }

  // choicesHash tells whether what there is to choose is what it was.
  const choicesHash = () => hash(all('.choose .pick:not(#bench--pick-b0) label', page.main).map(l => l.textContent).join('\n'))

  // ---- ticks: an index each, under what they are ticks of and a hash of that
  const linesKey = () => `lines ${version()} ${batch()}`
  const stepsKey = 'steps'

  function linesHash() {
    const data = page.raw?.versions.find(v => v.id === version())
    return hash(JSON.stringify([data, page.raw?.scale, sizeOf(batch()), linesOf(tableOf(section())).length]))
  }

  // stepsHash goes by the steps' words as they were written.
  const stepsHash = () => hash(stepsOf().map(step => {
    const copy = step.cloneNode(true)
    all('.ticker, .b0', copy).forEach(e => e.remove())
    return copy.textContent
  }).join('\n'))

  // ticksOf gives the indices ticked under a key; those of a list that has changed are gone, and the reader is told.
  function ticksOf(key, now) {
    const kept = page.kept.ticks[key]
    if (!kept) return new Set()
    if (kept.of === now) return new Set(kept.on)
    delete page.kept.ticks[key]
    keep()
    if (kept.on.length) byId('bench--said').append(' ' + words.changed)
    return new Set()
  }

  function setTick(key, now, index, on) {
    const ticks = ticksOf(key, now)
    if (on) ticks.add(index)
    else ticks.delete(index)
    if (ticks.size) page.kept.ticks[key] = { of: now, on: [...ticks], at: Date.now() }
    else delete page.kept.ticks[key]
    page.undo = null
    keep()
    showTicks()
  }

  // ticker puts a box to tick into a place, first of all, or gives the one that is there.
  function ticker(place, id, name) {
    let label = place.querySelector(':scope > .ticker')
    if (!label) {
      label = make('label', { class: 'ticker' }, make('input', { type: 'checkbox' }), make('span', { class: 'away' }))
      place.prepend(label)
    }
    label.firstChild.id = id
    if (label.lastChild.textContent !== name) label.lastChild.textContent = name
    return label.firstChild
  }

  const nameIn = row => (row.querySelector('.name a') ?? [...row.querySelector('.name').childNodes].find(n => n.nodeType === Node.TEXT_NODE && n.data.trim()) ?? row).textContent.trim()

  function drawTickers() {
    for (const place of all('section.version', page.main)) {
      const id = place.className.split(' ').pop()
      linesOf(tableOf(place)).forEach((row, i) => ticker(row.querySelector('.name'), `tick--${id}-${i}`, fill(words.lineName, { name: nameIn(row) })))
    }
    stepsOf().forEach((step, i) => ticker(step, `tick--step-${i}`, fill(words.stepName, { step: stepNumber(step) })))
  }

  const stepNumber = step => [...step.parentElement.children].indexOf(step) + step.parentElement.start

  function showTicks() {
    const rows = linesOf(tableOf(section())), steps = stepsOf()
    const lines = ticksOf(linesKey(), linesHash()), done = ticksOf(stepsKey, stepsHash())
    const show = (places, ticks) => places.forEach((place, i) => {
      place.classList.toggle('ticked', ticks.has(i))
      place.querySelector('.ticker > input').checked = ticks.has(i)
    })
    show(rows, lines)
    show(steps, done)
    for (const box of all('#bench--list [data-line]')) {
      box.checked = lines.has(Number(box.dataset.line))
      box.closest('li').classList.toggle('ticked', box.checked)
    }
    showTally(lines.size, rows.length, done.size, steps.length)
  }

  function showTally(lines, allLines, steps, allSteps) {
    const kept = Object.values(page.kept.ticks), latest = Math.max(0, ...kept.map(t => t.at ?? 0))
    let text = fill(allSteps ? words.tally : words.tallyLines, { lines, allLines, steps, allSteps })
    if (latest && Date.now() - latest > old) text += ', ' + fill(words.since, { day: new Date(latest).toLocaleDateString(root.lang, { day: 'numeric', month: 'long' }) })
    byId('bench--tally').textContent = text
    const button = byId('bench--afresh')
    button.hidden = !kept.length && !page.undo
    button.textContent = page.undo ? words.back : words.afresh
    byId('bench--ticks').hidden = !lines && !steps && button.hidden
    const bar = byId('bench--open')
    if (bar) bar.textContent = fill(words.bar, { size: sizeOf(batch()) })
  }

  function afresh() {
    const back = page.undo
    page.undo = back ? null : page.kept.ticks
    page.kept.ticks = back ?? {}
    keep()
    showTicks()
    tell(back ? words.restored : words.cleared)
  }

  function ticked(box) {
    const [, which, index] = /^tick--(?:(v\d+|step)-)(\d+)$/.exec(box.id) ?? []
    if (box.dataset.line) setTick(linesKey(), linesHash(), Number(box.dataset.line), box.checked)
    else if (which === 'step') setTick(stepsKey, stepsHash(), Number(index), box.checked)
    else if (which) setTick(linesKey(), linesHash(), Number(index), box.checked)
  }

  // ---- grams or ounces first
  function showUnit() {
    const unit = store.read(unitKey) === 'oz' ? 'oz' : 'g'
    if (unit === 'oz') root.dataset.weights = unit
    else delete root.dataset.weights
    const input = byId('bench--' + unit)
    if (input) input.checked = true
  }

  // ---- a screen that stays on, while the page is seen
  let lock = null, wanted = false
  async function stayAwake() {
    if (!wanted || document.hidden || lock) return
    try {
      lock = await navigator.wakeLock.request('screen')
      lock.addEventListener('release', () => { lock = null })
      if (!wanted) await lock.release()
    } catch {
      wanted = false
      if (page) tell(words.asleep)
    }
    showAwake()
  }
  function showAwake() {
    byId('bench--awake')?.setAttribute('aria-checked', String(wanted))
  }
  function switchAwake() {
    wanted = !wanted
    if (!wanted) lock?.release()
    showAwake()
    stayAwake()
  }

  // ---- the weights at hand while reading the steps
  let watching = null
  function watchSteps() {
    watching?.disconnect()
    const method = byId('part--method'), weights = byId('part--formula')
    if (!method || !weights || typeof IntersectionObserver !== 'function') return
    const seen = new Map()
    watching = new IntersectionObserver(entries => {
      for (const entry of entries) seen.set(entry.target, entry.isIntersecting)
      const bar = byId('bench--bar')
      if (bar) bar.hidden = !seen.get(method) || seen.get(weights)
    })
    watching.observe(method)
    watching.observe(weights)
  }

  function drawBar() {
    if (byId('bench--bar')) return
    const dock = byId('dock') ?? document.body.appendChild(make('div', { id: 'dock', class: 'dock', 'data-bench': '' }))
    dock.append(make('div', { id: 'bench--bar', class: 'weights-bar', hidden: true }, make('button', { type: 'button', id: 'bench--open', 'aria-haspopup': 'dialog' })))
  }

  // openList shows what is weighed for the batch chosen, over the steps.
  function openList() {
    byId('bench--list')?.remove()
    const table = tableOf(section()), id = batch()
    const lines = linesOf(table).map((row, i) => {
      const cell = row.querySelector(`.${id}`), box = make('input', { type: 'checkbox', id: 'bench--line-' + i, 'data-line': i })
      const weight = make('span', { class: 'weight' }, ...[...cell.childNodes].map(n => n.cloneNode(true)))
      return make('li', {}, make('label', { for: box.id }, box, make('span', { class: 'what' }, nameIn(row)), weight))
    })
    const heading = make('h2', { id: 'bench--list-head' }, fill(words.bar, { size: sizeOf(id) }))
    const list = make('dialog', { id: 'bench--list', class: 'weights-list', 'aria-labelledby': 'bench--list-head', 'data-bench': true }, heading,
      ...id === 'b0' && halted(resultOf(version())) ? [make('p', { class: 'halt' }, make('strong', {}, fill(words.halt, page.own)))] : [],
      make('ul', {}, ...lines),
      make('form', { method: 'dialog' }, make('button', {}, words.close)))
    page.main.append(list)
    list.addEventListener('click', event => { if (event.target === list) list.close() })
    list.addEventListener('close', () => list.remove())
    list.showModal()
    showTicks()
  }

  // ---- the tools above the tables
  function drawTools() {
    if (byId('bench--tools')) return
    const fills = page.raw?.fills.filter(f => !f.unknown) ?? []
    const example = fills.length ? fill(words.exampleFill, fills[0]) : words.example
    const tools = make('div', { id: 'bench--tools', class: 'bench-tools', 'data-bench': true })
    if (page.data) {
      tools.append(make('form', { id: 'bench--form', class: 'own-size' },
        make('label', { for: 'bench--field' }, words.other),
        make('input', { type: 'text', id: 'bench--field', placeholder: example, autocomplete: 'off', autocapitalize: 'none', spellcheck: 'false', enterkeyhint: 'done', maxlength: 100, 'aria-describedby': 'bench--said' }),
        make('button', {}, words.weigh)))
    }
    tools.append(make('p', { id: 'bench--said', class: 'said', role: 'status' }))
    const unit = (id, name) => make('span', { class: 'pick' }, make('input', { type: 'radio', name: 'bench--unit', id: 'bench--' + id, value: id }), make('label', { for: 'bench--' + id }, name))
    tools.append(make('div', { class: 'switches' },
      make('fieldset', { class: 'units' }, make('legend', {}, words.unit), unit('g', words.grams), unit('oz', words.ounces)),
      ...navigator.wakeLock ? [make('button', { type: 'button', id: 'bench--awake', class: 'switch', role: 'switch', 'aria-checked': 'false' }, words.awake)] : []))
    tools.append(make('p', { id: 'bench--ticks', class: 'bench-ticks', hidden: true }, make('span', { id: 'bench--tally' }), ' ', make('button', { type: 'button', id: 'bench--afresh', class: 'quiet' }, words.afresh)))
    const form = page.main.querySelector('.choose'), body = page.main.querySelector('.weigh > .body')
    if (form) form.after(tools)
    else body.prepend(tools)
  }

  // ---- a page, when it is there, and again when it has become another
  function begin() {
    const main = document.querySelector('main.recipe'), before = page
    if (!main?.querySelector('.weigh')) {
      page = null
      const bar = byId('bench--bar')
      if (bar) bar.hidden = true
      return
    }
    const text = byId('weigh--data')?.textContent, again = before?.path === location.pathname
    const raw = text ? JSON.parse(text) : null
    const kept = store.read(pageKey()) ?? {}
    kept.ticks ??= {}
    page = { main, raw, data: raw && weigh.load(raw), kept, sealed: 'unsealed' in main.dataset, path: location.pathname, undo: null, waiting: again && before.waiting }
    drawTools()
    drawTickers()
    drawBar()
    const own = again ? before.own?.text : kept.own, last = kept.chosen // what is chosen while the page is put together is not kept
    const fitting = own && page.data?.versions.find(v => !weigh.batch(page.data, v, own).error)
    if (own && page.data) weighOut(own, fitting?.id)
    if (again && before.chosen?.batch === 'b0') choose('batch', 'b0')
    else if (!again && !('preview' in root.dataset) && last?.of === choicesHash()) { // a preview begins as readers find the page
      choose('version', last.version)
      choose('batch', last.batch)
    }
    showUnit()
    showAwake()
    showTicks()
    watchSteps()
  }

  document.addEventListener('submit', event => {
    if (event.target.id !== 'bench--form' || !page) return
    event.preventDefault()
    const field = byId('bench--field')
    if (!weighOut(field.value)) return field.focus()
    byId('b0').checked = true
    chosen()
  })
  document.addEventListener('change', event => {
    const { target } = event
    if (!page) return
    if (target.name === 'batch') page.waiting = false
    if (target.name === 'version' || target.name === 'batch') chosen()
    else if (target.name === 'bench--unit') {
      store.write(unitKey, target.value === 'oz' ? 'oz' : null)
      showUnit()
    } else if (target.matches?.('.ticker > input, #bench--list input')) ticked(target)
  })
  document.addEventListener('click', event => {
    const button = event.target.closest?.('button')
    if (!button || !page) return
    if (button.id === 'bench--afresh') afresh()
    if (button.id === 'bench--awake') switchAwake()
    if (button.id === 'bench--open') openList()
  })
  document.addEventListener('visibilitychange', stayAwake)
  document.addEventListener('newpage', begin)
  addEventListener('storage', event => {
    if (page && event.key === pageKey()) {
      page.kept = store.read(pageKey()) ?? {}
      page.kept.ticks ??= {}
      showTicks()
    }
    if (event.key === unitKey) showUnit()
  })
  begin()
})()

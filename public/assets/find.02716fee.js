// The page that finds recipes: by words, by what they are, by what they are made without, and by what the reader has. What is chosen
// stands in the address, so that it can be sent on and gone back to; what the reader has stays on the device, as ids of materials.
'use strict';
(() => {
  const words = speech.all('find')
  const always = ['tree nuts', 'peanuts'] // offered even where no material names them
  const times = [15, 30, 45, 60, 90, 120, 240] // minutes
  const step = 40 // recipes shown at once
  const root = document.documentElement
  const byId = id => document.getElementById(id)
  const language = root.lang || 'en'
  const plural = new Intl.PluralRules(language), collator = new Intl.Collator(language), joined = new Intl.ListFormat(language)
  if (!byId('find--here') || !lists.able) return

  function say(form, values = {}) {
    const text = typeof form === 'string' ? form : form[plural.select(values.n)] ?? form.other
    return text.replace(/\{(\w+)\}/g, (_, name) => values[name])
  }
  // named gives the language's name of what a list names by a word of its own, or that word.
  function named(kind, word) {
    const key = kind + '.' + word, name = speech.say(key)
    return name === key ? word : name
  }
  const capital = text => text.charAt(0).toLocaleUpperCase(language) + text.slice(1)

  function stretch(minutes) {
    const h = Math.floor(minutes / 60), m = minutes % 60
    return say(h && m ? words.hoursAndMinutes : h ? words.hours : words.minutes, { h, m })
  }

  function element(name, fields = {}, ...children) {
    const made = document.createElement(name)
    for (const [key, value] of Object.entries(fields)) {
      if (key in made && key !== 'form') made[key] = value
      else made.setAttribute(key, value)
    }
    made.append(...children)
    return made
  }

  // ---- what is chosen, as the address has it
  const single = ['q', 'shelf', 'kind', 'stays', 'time', 'uses', 'missing', 'vegan']

  function readAddress() {
    const from = new URLSearchParams(location.search)
    return { ...Object.fromEntries(single.map(name => [name, from.get(name) ?? ''])), without: from.getAll('without') }
  }

  // writeAddress keeps each choice as a step to go back to, but not each letter.
  function writeAddress(asStep) {
    const to = new URLSearchParams(single.filter(name => chosen[name]).map(name => [name, chosen[name]]))
    for (const source of chosen.without) to.append('without', source)
    const address = location.pathname + (to.size ? '?' + to : '')
    try {
      history[asStep ? 'pushState' : 'replaceState']({ ...history.state, findShown: step, stillroomScroll: 0 }, '', address)
    } catch {
      // a browser may refuse when it is done too often; the next letter or choice writes it
    }
  }

  // ---- what the reader has
  const haveName = 'stillroom-have ' + lists.top.pathname
  function readHave() {
    try {
      const kept = JSON.parse(localStorage.getItem(haveName) ?? '[]')
      return new Set(Array.isArray(kept) ? kept.filter(id => typeof id === 'string') : [])
    } catch {
      return new Set()
    }
  }

  function writeHave() {
    try {
      localStorage.setItem(haveName, JSON.stringify([...have]))
    } catch {
      // then it lasts as long as the page
    }
  }

  // ---- what there is
  let chosen = readAddress(), have = readHave(), all = null, shown = history.state?.findShown ?? step

  function survey(prepared) {
    const entries = prepared.rows.map(row => row.entry)
    const materials = new Map(entries.filter(entry => entry.material).map(entry => [entry.material, entry]))
    const recipes = entries.filter(entry => entry.kind === 'recipe').sort((a, b) => collator.compare(a.title, b.title))
    const taken = new Set(recipes.flatMap(recipe => recipe.takes ?? []))
    const inOrder = values => [...new Set(values.filter(Boolean))].sort(collator.compare)
    return {
      prepared, materials, recipes,
      taken: [...taken].filter(id => materials.has(id)).sort((a, b) => collator.compare(materials.get(a).title, materials.get(b).title)),
      shelves: [...new Set(recipes.map(recipe => recipe.shelf).filter(Boolean))],
      kinds: inOrder(recipes.map(recipe => recipe.tag)),
      stays: inOrder(recipes.map(recipe => recipe.category)),
      sources: inOrder([...always, ...[...materials.values()].flatMap(entry => entry.contains ?? [])]),
      timed: recipes.some(recipe => recipe.minutes),
    }
  }

  // ---- what is made without what: true, false, or undefined where it is not known
  const ofNoAnimal = material => material?.origin ? material.origin !== 'animal' : undefined
  const ofNo = source => material => material?.contains?.includes(source) ? false : material?.contains?.length === 0 ? true : undefined

  // asked gives what a recipe should be made without, each with its words and what is known of each material.
  function asked() {
    const test = (what, of) => ({ what, answers: new Map([...all.materials].map(([id, material]) => [id, of(material)])) })
    const sources = chosen.without.map(source => test(say(words.noSource, { source: named('food', source) }), ofNo(source)))
    return chosen.vegan ? [test(words.noAnimal, ofNoAnimal), ...sources] : sources
  }

  const nameOf = id => all.materials.get(id)?.title ?? id

  // sourcesOf names a material with the sources that it is known to be from, which may tell the reader enough.
  function sourcesOf(id) {
    const sources = all.materials.get(id)?.contains
    return sources?.length ? say(words.named, { name: nameOf(id), sources: joined.format(sources.map(source => named('food', source))) }) : nameOf(id)
  }

  // What is not known of a version, and what is missing for it.
  const doubtsOf = (version, { answers }) => [...version.takes.filter(id => answers.get(id) === undefined).map(sourcesOf), ...version.others ?? []]
  const missingOf = version => [...version.takes.filter(id => !have.has(id)).map(nameOf), ...version.others ?? []]

  // judge tells how a version answers what is chosen; null where it does not. It counts, since names are wanted of the few that are shown.
  function judge(version, tests) {
    if (chosen.uses && !version.takes.includes(chosen.uses)) return null
    const others = version.others?.length ?? 0
    let open = tests.length > 0 && others > 0
    for (const { answers } of tests) {
      for (const id of version.takes) {
        const answer = answers.get(id)
        if (answer === false) return null
        open ||= answer === undefined
      }
    }
    let missing = 0
    if (counts()) {
      missing = others
      for (const id of version.takes) if (!have.has(id)) missing++
      if (missing > most()) return null
    }
    return { version, missing, open }
  }

  const most = () => chosen.missing === 'all' ? Infinity : Number(chosen.missing)
  const counts = () => chosen.missing !== '' && have.size > 0
  const nearer = (a, b) => a.open - b.open || a.missing - b.missing // what is known stands first

  // best gives the version of a recipe that answers best. A recipe of which no version is known, as one for members while the door is shut, answers
  // only to words, shelf and what else it is known by.
  function best(recipe, tests) {
    if (!recipe.versions?.length) return tests.length || chosen.uses || counts() ? null : { missing: 0, open: false }
    let found = null
    for (const version of recipe.versions) {
      const answer = judge(version, tests)
      if (answer && (!found || nearer(answer, found) < 0)) found = answer
    }
    return found
  }

  function fits(recipe) {
    return (!chosen.shelf || recipe.shelf === chosen.shelf) && (!chosen.kind || recipe.tag === chosen.kind) && (!chosen.stays || recipe.category === chosen.stays)
  }

  // look gives the recipes that answer, in order, and how many were left out for giving no time.
  function look() {
    const tests = asked(), matched = match.fold(chosen.q) ? match.find(all.prepared, chosen.q) : null
    const from = matched ? matched.entries.filter(entry => entry.kind === 'recipe') : all.recipes
    const answers = from.filter(fits).map(recipe => ({ recipe, answer: best(recipe, tests) })).filter(({ answer }) => answer)
    const timed = answers.filter(({ recipe }) => !chosen.time || recipe.minutes <= Number(chosen.time))
    timed.sort((a, b) => nearer(a.answer, b.answer))
    return { tests, found: timed, nearly: Boolean(matched?.nearly), timeless: chosen.time ? answers.filter(({ recipe }) => recipe.versions?.length && !recipe.minutes).length : 0 }
  }

  // ---- showing what was found
  function remarks(recipe, version, tests) {
    if (!version) return []
    const lines = []
    if (version !== recipe.versions[0] && (tests.length || chosen.uses || counts())) lines.push(['remark', say(words.as, { version: version.name })])
    if (counts()) {
      const names = missingOf(version)
      lines.push(names.length ? ['lacks', say(words.lacks, { n: names.length, names: joined.format(names) })] : ['lacks none-missing', words.hasAll])
    }
    const doubts = tests.map(test => ({ what: test.what, names: doubtsOf(version, test) }))
    const sure = doubts.filter(doubt => !doubt.names.length).map(doubt => doubt.what)
    if (sure.length) lines.push(['known', say(words.known, { what: joined.format(sure) })])
    return [...lines.map(([className, textContent]) => element('p', { className, textContent })), ...unknowns(doubts)]
  }

  // unknowns gives what is not known as short sentences that open to the names. What is not known of the same ingredients is said once.
  function unknowns(doubts) {
    const together = new Map()
    for (const { what, names } of doubts) {
      if (!names.length) continue
      const key = names.join('\n'), same = together.get(key)
      if (same) same.what.push(what)
      else together.set(key, { what: [what], names })
    }
    return [...together.values()].map(({ what, names }) => element('details', { className: 'unknown' },
      element('summary', { textContent: say(words.unknown, { what: capital(joined.format(what)), n: names.length }) }),
      element('ul', {}, ...names.map(textContent => element('li', { textContent })))))
  }

  function line({ recipe, answer }, tests) {
    const head = element('p', { className: 'line' }, element('a', { href: new URL(recipe.path, lists.top).href, textContent: recipe.title }))
    if (recipe.members) head.append(' ', element('span', { className: 'badge', textContent: words.members }))
    const tag = [recipe.tag, recipe.minutes ? stretch(recipe.minutes) : ''].filter(Boolean).join(' · ')
    if (tag) head.append(' ', element('span', { className: 'leader' }), ' ', element('span', { className: 'tag', textContent: tag }))
    return element('li', {}, head, ...remarks(recipe, answer.version, tests))
  }

  function sentence({ found, nearly, timeless }) {
    const parts = [found.length ? say(words.count, { n: found.length, all: all.recipes.length }) : nearly ? words.noneNearly : words.none]
    if (found.length && nearly) parts.push(words.nearly)
    const doubtful = found.filter(({ answer }) => answer.open).length
    if (doubtful) parts.push(say(words.doubtful, { n: doubtful }))
    if (timeless) parts.push(say(words.timeless, { n: timeless }))
    if (chosen.missing && !have.size) parts.push(words.tickFirst)
    return parts.join(' · ')
  }

  function show() {
    const result = look(), rest = result.found.length - shown
    byId('find--said').textContent = sentence(result)
    byId('find--found').replaceChildren(...result.found.slice(0, shown).map(hit => line(hit, result.tests)))
    const more = byId('find--more')
    more.hidden = rest <= 0
    more.textContent = say(words.more, { n: Math.min(step, rest) })
    byId('find--caution').hidden = !result.tests.length
  }

  // ---- the form
  function choice(name, options) {
    const select = element('select', { id: 'find--' + name, name })
    const known = options.some(([value]) => value === chosen[name])
    for (const [value, textContent] of known ? options : [...options, [chosen[name], chosen[name]]]) select.append(element('option', { value, textContent }))
    select.value = chosen[name]
    return element('p', { className: 'field' }, element('label', { htmlFor: select.id, textContent: words[name] }), select)
  }

  const withAny = values => [['', words.any], ...values.map(value => [value, capital(value)])]

  function choices() {
    const at = n => [String(n), say(words.missingAtMost, { n })]
    return [
      choice('shelf', withAny(all.shelves)),
      choice('kind', withAny(all.kinds)),
      choice('stays', [['', words.any], ...all.stays.map(word => [word, capital(named('category', word))])]),
      ...all.timed ? [choice('time', [['', words.any], ...times.map(n => [String(n), say(words.upTo, { time: stretch(n) })])])] : [],
      choice('uses', [['', words.any], ...all.taken.map(id => [id, nameOf(id)])]),
      choice('missing', [['', words.missingAny], ['0', words.missingNone], at(1), at(2), at(3), ['all', words.missingAll]]),
    ]
  }

  function tick(id, name, value, text, checked) {
    return element('span', { className: 'tick' }, element('input', { type: 'checkbox', id, name, value, checked }), ' ', element('label', { htmlFor: id, textContent: text }))
  }

  function ticks() {
    const sources = [...new Set([...all.sources, ...chosen.without])]
    return element('fieldset', { className: 'ticks' }, element('legend', { textContent: words.made }),
      tick('find--vegan', 'vegan', '1', words.vegan, Boolean(chosen.vegan)),
      ...sources.map((source, i) => tick('find--without-' + i, 'without', source, say(words.without, { source: named('food', source) }), chosen.without.includes(source))))
  }

  function cupboard() {
    const narrow = element('input', { type: 'search', id: 'find--narrow', autocomplete: 'off', spellcheck: false })
    const list = element('ul', { id: 'find--cupboard', className: 'ticks' }, ...all.taken.map((id, i) => element('li', {}, tick('find--have-' + i, 'have', id, nameOf(id), have.has(id)))))
    return element('details', { id: 'find--have', className: 'folded cupboard' }, element('summary', { textContent: say(words.have, { n: have.size }) }),
      element('p', { className: 'field' }, element('label', { htmlFor: narrow.id, textContent: words.narrow }), narrow),
      list, element('p', { className: 'remark', id: 'find--no-ingredient', textContent: words.noIngredient, hidden: true }),
      element('p', { className: 'after-ticks' }, element('button', { type: 'button', className: 'quiet', id: 'find--untick', textContent: words.untick }), ' ', element('span', { className: 'remark', textContent: words.haveNote })))
  }

  const wide = matchMedia('(min-width: 1080px)')
  const howMany = () => single.filter(name => name !== 'q' && chosen[name]).length + chosen.without.length
  const saysChosen = () => howMany() ? say(words.chosen, { n: howMany() }) : words.choose

  function form() {
    const q = element('input', { type: 'search', id: 'find--q', name: 'q', value: chosen.q, autocomplete: 'off', autocapitalize: 'none', spellcheck: false, enterkeyhint: 'search' })
    return element('form', { id: 'find', className: 'find-form', role: 'search', 'aria-label': words.form },
      element('p', { className: 'field wide' }, element('label', { htmlFor: q.id, textContent: words.q }), q),
      element('details', { id: 'find--choices', className: 'folded', open: wide.matches || Boolean(howMany()) }, element('summary', { textContent: saysChosen() }),
        element('div', { className: 'fields' }, ...choices()), ticks(),
        element('p', {}, element('button', { type: 'button', className: 'quiet', id: 'find--clear', textContent: words.clear }))),
      cupboard())
  }

  function results() {
    return element('section', { id: 'find--results', className: 'results', 'aria-labelledby': 'find--said' },
      element('p', { id: 'find--said', role: 'status', className: 'count' }),
      element('p', { id: 'find--caution', className: 'block caution', textContent: words.caution, hidden: true }),
      element('ul', { id: 'find--found', className: 'entries' }),
      element('p', {}, element('button', { type: 'button', className: 'quiet', id: 'find--more', hidden: true })))
  }

  // build puts the form on the page, as the address and the device have it. What was open and where the reader was stays.
  function build() {
    const open = ['find--choices', 'find--have'].filter(id => byId(id)?.open), at = document.activeElement?.id
    byId('find--here').replaceChildren(form(), results())
    hideElse(true)
    for (const id of open) byId(id).open = true
    if (at?.startsWith('find--')) byId(at)?.focus()
    show()
  }

  const hideElse = hidden => { byId('find--else').hidden = hidden }

  async function begin() {
    const prepared = await lists.prepared().catch(() => null)
    if (prepared && all?.prepared !== prepared) all = survey(prepared)
    if (all) return build()
    byId('find--why').textContent = words.unread
    byId('find--why').setAttribute('role', 'alert')
    hideElse(false)
  }

  // ---- what the reader does
  function readForm() {
    const given = new FormData(byId('find'))
    return { ...Object.fromEntries(single.map(name => [name, given.get(name) ?? ''])), without: given.getAll('without') }
  }

  function changed(asStep) {
    chosen = readForm()
    shown = step
    writeAddress(asStep)
    byId('find--choices').querySelector('summary').textContent = saysChosen()
    show()
  }

  function countHave() {
    writeHave()
    byId('find--have').querySelector('summary').textContent = say(words.have, { n: have.size })
    show()
  }

  function ticked({ value, checked }) {
    if (checked) have.add(value)
    else have.delete(value)
    countHave()
  }

  function narrow(query) {
    const named = match.fold(query) ? new Set(match.find(all.prepared, query).entries.map(entry => entry.material)) : null
    const items = [...byId('find--cupboard').children]
    for (const item of items) item.hidden = Boolean(named) && !named.has(item.querySelector('input').value)
    byId('find--no-ingredient').hidden = items.some(item => !item.hidden)
  }

  document.addEventListener('input', ({ target }) => {
    if (target.id === 'find--q') changed(false)
    else if (target.id === 'find--narrow') narrow(target.value)
  })
  document.addEventListener('change', ({ target }) => {
    if (target.name === 'have' && target.closest('#find')) ticked(target)
    else if (target.closest('#find') && !['find--q', 'find--narrow'].includes(target.id)) changed(true)
  })
  document.addEventListener('keydown', event => {
    if (event.key !== 'Enter' || event.isComposing || !['find--q', 'find--narrow'].includes(event.target.id)) return
    event.preventDefault()
    if (event.target.id === 'find--q') byId('find--found').querySelector('a')?.focus()
  })
  document.addEventListener('submit', event => { if (event.target.id === 'find') event.preventDefault() })

  const buttons = {
    'find--clear'() {
      chosen = { ...Object.fromEntries(single.map(name => [name, ''])), without: [] }
      shown = step
      writeAddress(true)
      build()
    },
    'find--untick'() {
      have.clear()
      for (const box of byId('find--cupboard').querySelectorAll('input')) box.checked = false
      countHave()
    },
    'find--more'() {
      const next = shown
      shown += step
      history.replaceState({ ...history.state, findShown: shown }, '')
      show()
      byId('find--found').children[next]?.querySelector('a')?.focus()
    },
  }
  document.addEventListener('click', ({ target }) => { if (Object.hasOwn(buttons, target.id)) buttons[target.id]() })

  addEventListener('popstate', () => {
    chosen = readAddress()
    shown = history.state?.findShown ?? step
    if (all) build()
  })
  addEventListener('storage', event => { // another tab ticked something
    if (event.key !== haveName || !all) return
    have = readHave()
    build()
  })

  // The door opens on the page, or the preview puts the bare page in its place.
  new MutationObserver(begin).observe(root, { attributeFilter: ['data-open'] })
  new MutationObserver(() => {
    if (!all || byId('find')) return
    lists.forget()
    begin()
  }).observe(document.body, { childList: true, subtree: true })

  // leaving and coming back: as far down as before
  addEventListener('pagehide', () => history.replaceState({ ...history.state, findScroll: scrollY }, ''))
  const back = performance.getEntriesByType('navigation')[0]?.type === 'back_forward' ? history.state?.findScroll : 0
  hideElse(true)
  begin().then(() => { if (back) scrollTo({ top: back, behavior: 'instant' }) })
})()

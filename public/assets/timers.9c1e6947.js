// Timers: a time in a method becomes a button that counts it down, in a tray at the bottom of the window. They go by the clock on the wall,
// and so are right after a sleep or a reload; of a page for members nothing is kept but the step's number.
'use strict';
(() => {
  const words = speech.all('timers')
  const say = (text, places = {}) => text.replace(/\{(\w+)\}/g, (_, name) => places[name])
  const longest = 12 * 3600 // seconds; longer times are for a calendar
  const rings = 12, pause = 10000 // how often it rings, and milliseconds between
  const stale = 24 * 3600 * 1000 // milliseconds after which a timer that rang unheard is forgotten
  const key = 'stillroom-timers'
  const root = document.documentElement

  const make = (tag, attributes = {}, ...children) => {
    const element = document.createElement(tag)
    for (const [name, value] of Object.entries(attributes)) if (value !== false) element.setAttribute(name, value === true ? '' : value)
    element.append(...children)
    return element
  }
  const two = n => String(n).padStart(2, '0')
  const clock = seconds => {
    const hours = Math.floor(seconds / 3600), minutes = Math.floor(seconds / 60) % 60
    return (hours ? hours + ':' + two(minutes) : minutes) + ':' + two(seconds % 60)
  }

  // ---- the timers, on this device
  let timers = []
  function recall() {
    try {
      const kept = JSON.parse(localStorage.getItem(key) ?? '[]')
      timers = kept.filter(t => Number.isFinite(t.ends) && t.seconds > 0 && Date.now() - t.ends < stale)
    } catch {
      timers = []
    }
  }
  function keep() {
    try {
      localStorage.setItem(key, JSON.stringify(timers))
    } catch { /* they last as long as the page then */ }
  }

  const here = () => location.pathname + location.search
  const nameOf = t => {
    const step = t.step ? say(words.step, t) : words.method
    return t.title && t.path !== here() ? say(words.of, { step, title: t.title }) : step
  }

  function start(time) {
    const seconds = Number(time.dataset.seconds), upper = Number(time.dataset.to ?? 0)
    const item = time.closest('li'), steps = item && [...item.parentElement.children].filter(one => one.localName === 'li')
    const sealed = 'unsealed' in (document.querySelector('main')?.dataset ?? {})
    const t = {
      id: Date.now().toString(36) + Math.floor(Math.random() * 1e6).toString(36),
      path: here(), step: item ? steps.indexOf(item) + (item.parentElement.start ?? 1) : 0,
      title: sealed ? '' : document.querySelector('h1')?.textContent.trim() ?? '',
      seconds, upper, ends: Date.now() + seconds * 1000, rung: 0,
    }
    timers.push(t)
    keep()
    wakeSound()
    draw()
    announce(say(words.started, { name: nameOf(t), time: clock(seconds) }))
  }

  function stop(t) {
    timers = timers.filter(one => one !== t)
    keep()
    draw()
    announce(say(words.stopped, { name: nameOf(t) }))
  }

  function prolong(t) {
    t.ends = Math.max(t.ends, Date.now()) + 60000
    t.seconds += 60
    t.rung = 0
    keep()
    draw()
  }

  // ---- sound: made here, after the reader has touched the page
  let sound = null
  function wakeSound() {
    try {
      sound ??= new AudioContext()
      if (sound.state === 'suspended') sound.resume().catch(() => {})
    } catch { /* then it is seen and felt */ }
  }

  function ring() {
    navigator.vibrate?.([300, 150, 300, 150, 300])
    if (sound?.state !== 'running') return
    for (let i = 0; i < 3; i++) {
      const at = sound.currentTime + i * .35, tone = sound.createOscillator(), loud = sound.createGain()
      tone.frequency.value = i === 2 ? 988 : 784
      loud.gain.setValueAtTime(0, at)
      loud.gain.linearRampToValueAtTime(.4, at + .02)
      loud.gain.linearRampToValueAtTime(0, at + .28)
      tone.connect(loud).connect(sound.destination)
      tone.start(at)
      tone.stop(at + .3)
    }
  }

  // ---- the tray
  const dock = () => document.getElementById('dock') ?? document.body.appendChild(make('div', { id: 'dock', class: 'dock', 'data-bench': '' }))
  let tray = null, said = null
  const announce = text => {
    frame()
    said.textContent = text
  }

  function frame() {
    if (tray?.isConnected) return
    tray = make('ul', { id: 'timers', class: 'timers', 'aria-label': words.tray, hidden: true })
    said = make('p', { id: 'timers--said', class: 'away', role: 'status' })
    dock().append(said, tray)
  }

  function entry(t) {
    const name = nameOf(t), left = make('span', { class: 'left', role: 'timer' })
    const where = t.path === here() ? make('b', {}, name) : make('a', { href: t.path }, name)
    const more = make('button', { type: 'button', 'data-more': t.id, 'aria-label': say(words.moreName, { name }) }, words.more)
    const end = make('button', { type: 'button', 'data-stop': t.id, 'aria-label': say(words.stopName, { name }) }, words.stop)
    const line = make('span', { class: 'what' }, where, ' ', left)
    if (t.upper > t.seconds) line.append(' ', make('small', {}, say(words.upTo, { time: clock(t.upper) })))
    return make('li', { 'data-timer': t.id }, line, more, end)
  }

  function draw() {
    if (!timers.length && !tray) return
    frame()
    const focused = document.activeElement?.closest?.('[data-timer]') && document.activeElement
    const again = focused && ['more', 'stop'].map(what => focused.dataset[what] && `[data-${what}="${CSS.escape(focused.dataset[what])}"]`).find(Boolean)
    tray.replaceChildren(...timers.map(entry))
    tray.hidden = !timers.length
    root.toggleAttribute('data-docked', Boolean(timers.length))
    if (again) tray.querySelector(again)?.focus()
    tick()
  }

  function tick() {
    const now = Date.now()
    for (const t of timers) {
      const entry = tray.querySelector(`[data-timer="${CSS.escape(t.id)}"]`), left = Math.ceil((t.ends - now) / 1000)
      const text = left > 0 ? say(words.left, { clock: clock(left) }) : say(words.over, { clock: clock(-left) })
      const place = entry.querySelector('.left')
      if (place.textContent !== text) place.textContent = text
      entry.classList.toggle('over', left <= 0)
      if (left <= 0) sounded(t, now)
    }
  }

  // sounded rings a timer that is over: at once, and then again and again until it is stopped or was not heard for long.
  function sounded(t, now) {
    const due = Math.floor((now - t.ends) / pause) + 1
    if (t.rung >= Math.min(due, rings)) return
    const first = !t.rung
    t.rung = due
    keep()
    ring()
    if (!first) return
    const places = { name: nameOf(t), time: clock(t.seconds), upper: clock(t.upper) }
    announce(say(t.upper > t.seconds ? words.endedUpTo : words.ended, places))
  }

  // ---- the page
  // arm makes the times of a method buttons; a time that only a calendar can tell stays as it is.
  function arm() {
    for (const time of document.querySelectorAll('.method .time[data-seconds]')) {
      const seconds = Number(time.dataset.seconds), text = time.textContent
      if (!(seconds > 0 && seconds <= longest) || time.querySelector('button')) continue
      time.replaceChildren(make('button', { type: 'button', class: 'start', 'aria-label': say(words.start, { time: text }) }, text))
    }
  }

  document.addEventListener('click', event => {
    const button = event.target.closest?.('button')
    if (!button) return
    if (button.matches('.time > .start')) start(button.parentElement)
    const t = timers.find(one => [button.dataset.stop, button.dataset.more].includes(one.id))
    if (t && button.dataset.stop) stop(t)
    else if (t) prolong(t)
  })
  for (const touch of ['pointerdown', 'keydown']) document.addEventListener(touch, () => { if (timers.length) wakeSound() })
  document.addEventListener('visibilitychange', () => { if (!document.hidden && timers.length) tick() })
  document.addEventListener('newpage', () => {
    arm()
    if (timers.length) draw()
  })
  addEventListener('storage', event => {
    if (event.key !== key) return
    recall()
    draw()
  })
  setInterval(() => { if (timers.length) tick() }, 500)

  recall()
  arm()
  draw()
})()

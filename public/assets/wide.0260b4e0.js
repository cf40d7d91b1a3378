// Lets the keyboard reach what is wider than its place and scrolls sideways in it, and only that: a stop for every table that fits would be
// in the way. Follows what changes on the page, so that it holds for what is put there later.
'use strict';
(() => {
  const scrollers = '.table, pre'
  const own = 'scrolls' // marks the stops that were made here

  // nameOf gives a scroller's name: its table's caption, or else the heading above it.
  function nameOf(scroller) {
    const heading = scroller.closest('section')?.querySelector('h2, h3')
    return (scroller.querySelector('caption') ?? heading)?.textContent.trim().replace(/\s+/g, ' ') ?? ''
  }

  function look(scroller) {
    const wide = scroller.scrollWidth > scroller.clientWidth + 1, stop = scroller.hasAttribute('tabindex')
    if (wide && !stop) {
      scroller.tabIndex = 0
      scroller.dataset[own] = ''
      const name = nameOf(scroller)
      if (!name) return
      scroller.setAttribute('role', 'group')
      scroller.setAttribute('aria-label', name)
    } else if (!wide && own in scroller.dataset && document.activeElement !== scroller) {
      for (const name of ['tabindex', 'role', 'aria-label', 'data-' + own]) scroller.removeAttribute(name)
    }
  }

  const sizes = new ResizeObserver(changed => { for (const { target } of changed) look(target.closest(scrollers) ?? target) })
  const known = new WeakSet()

  function find() {
    for (const scroller of document.querySelectorAll(scrollers)) {
      if (!known.has(scroller)) {
        known.add(scroller)
        sizes.observe(scroller)
        for (const inner of scroller.children) sizes.observe(inner)
      } else {
        look(scroller)
      }
    }
  }

  let soon = 0 // a page is put in place in many steps
  new MutationObserver(() => {
    cancelAnimationFrame(soon)
    soon = requestAnimationFrame(find)
  }).observe(document.body, { childList: true, subtree: true, attributes: true, attributeFilter: ['tabindex'] })
  find()
})()

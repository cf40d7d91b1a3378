// What every page does once scripts run: prints when asked to, and keeps what was read for when there is no connection.
'use strict';
(() => {
  const root = document.documentElement
  root.dataset.script = ''
  document.addEventListener('click', event => {
    if (event.target.closest?.('[data-do="print"]')) print()
  })

  // whatIsHere lists what the page was made of, so that a first visit is kept as well.
  function whatIsHere() {
    return [location.href, ...performance.getEntriesByType('resource').map(entry => entry.name)]
  }

  async function keepWhatIsRead() {
    if (!root.dataset.worker || 'preview' in root.dataset || !isSecureContext || !navigator.serviceWorker) return
    const address = new URL(root.dataset.worker, location.href)
    if (address.origin !== location.origin || location.protocol === 'file:') return
    try {
      await navigator.serviceWorker.register(address.href, { updateViaCache: 'none' })
      const { active } = await navigator.serviceWorker.ready
      if (!navigator.serviceWorker.controller) active.postMessage({ keep: whatIsHere() })
    } catch {
      // then it is read online only
    }
  }
  addEventListener('load', keepWhatIsRead)
})()

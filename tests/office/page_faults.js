// What is wrong with a page of the office as it stands, in sentences.
() => {
  const faults = [], wide = document.documentElement.clientWidth, LEAST = 24, INK = 0.2;
  const shown = (e) => e.checkVisibility({ visibilityProperty: true }) && !e.closest('.skip') && !hidden(e);
  /** Kept for the screen reader only. */
  const hidden = (e) => getComputedStyle(e).clipPath === 'inset(50%)' || Boolean(above(e, ({ clipPath }) => clipPath === 'inset(50%)'));
  const words = (e) => (e.getAttribute('aria-label') || e.textContent || e.name || '').trim().replace(/\s+/g, ' ').slice(0, 40);
  const name = (e) => `${e.tagName.toLowerCase()}${e.id && `#${e.id}`}${[...e.classList].map((c) => `.${c}`).join('')} "${words(e)}"`;
  const above = (e, test) => { for (let n = e.parentElement; n && n !== document.body; n = n.parentElement) if (test(getComputedStyle(n), n)) return n; return null; };
  const scroller = (e) => above(e, ({ overflowX }) => ['auto', 'scroll'].includes(overflowX));

  // 1.4.10: the page goes down only; a box that goes sideways is reached by keys and has a name.
  const over = document.documentElement.scrollWidth - wide;
  if (over > 0) faults.push(`scrolls sideways by ${over}`);
  for (const e of document.querySelectorAll('body *')) {
    const { overflowX } = getComputedStyle(e);
    if (['auto', 'scroll'].includes(overflowX) && e.scrollWidth > e.clientWidth + 1 && shown(e) && !e.matches('textarea, select') && !(e.tabIndex === 0 && (e.getAttribute('aria-label') || e.getAttribute('aria-labelledby')) && e.getAttribute('role'))) faults.push(`no key reaches: ${name(e)}`);
  }

  // 1.4.4, 1.4.10: no text is cut, past the edge or on another.
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), texts = [];
  while (walk.nextNode()) {
    const { data, parentElement: element } = walk.currentNode;
    if (!data.trim() || !shown(element) || element.closest('svg, script, option, textarea') || element.matches('details:not([open], .pages)')) continue;
    const range = document.createRange();
    range.selectNodeContents(walk.currentNode);
    for (const { left, right, top, height } of range.getClientRects()) if (right - left > 1 && height > 1) texts.push({ element, box: scroller(element), left, right, top: top + INK * height, bottom: top + (1 - INK) * height });
  }
  for (const { element, box, left, right, top, bottom } of texts) {
    if (!box && (left < -1 || right > wide + 1)) faults.push(`past the edge: ${name(element)}`);
    for (let e = element; e && e !== box && e !== document.body; e = e.parentElement) {
      const { overflow } = getComputedStyle(e), r = e.getBoundingClientRect();
      if ((e.matches('button, .go') || overflow !== 'visible') && (left < r.left - 1 || right > r.right + 1 || top < r.top - 1 || bottom > r.bottom + 1)) faults.push(`cut: ${name(element)} in ${name(e)}`);
    }
  }
  texts.sort((a, b) => a.top - b.top);
  texts.forEach((a, i) => {
    for (let j = i + 1; j < texts.length && texts[j].top < a.bottom - 2; j += 1) {
      const b = texts[j], across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const sticky = [a, b].some(({ element }) => element.closest('.keep, [data-stuck]'));
      if (across > 2 && Math.min(a.bottom, b.bottom) - b.top > 2 && a.box === b.box && !sticky) faults.push(`on each other: ${name(a.element)} / ${name(b.element)}`);
    }
  });
  for (const e of document.querySelectorAll('main img, main svg, main canvas, main input, main select, main textarea, main iframe, main audio')) {
    const r = e.getBoundingClientRect();
    if (shown(e) && r.width && !scroller(e) && !e.closest('svg svg') && (r.left < -1 || r.right > wide + 1)) faults.push(`past the edge: ${name(e)}`);
  }

  // 2.5.8: 24 by 24, or a circle of 24 on its middle that meets no other target nor another such circle;
  // left out as the criterion does: in a sentence, and what the browser itself draws.
  const inLine = (e) => getComputedStyle(e).display === 'inline' && [...e.parentElement.childNodes].some((n) => n !== e && n.nodeType === 3 && /\w{2}/.test(n.data));
  const targets = [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary, label:has(input), [tabindex="0"][role=radio]')].filter(shown).map((e) => ({ e, r: e.getBoundingClientRect() })).filter(({ r }) => r.width && r.height);
  const small = targets.filter(({ r }) => r.width < LEAST - 0.1 || r.height < LEAST - 0.1);
  const middle = (r) => [r.left + r.width / 2, r.top + r.height / 2];
  const apart = (x, y, r) => Math.hypot(Math.max(r.left - x, 0, x - r.right), Math.max(r.top - y, 0, y - r.bottom));
  for (const one of small) {
    const [x, y] = middle(one.r);
    const meets = targets.find((other) => other.e !== one.e && !one.e.contains(other.e) && !other.e.contains(one.e) && (small.includes(other)
      ? Math.hypot(x - middle(other.r)[0], y - middle(other.r)[1]) < LEAST
      : apart(x, y, other.r) < LEAST / 2));
    if (meets && !inLine(one.e) && !one.e.closest('label')) faults.push(`small: ${name(one.e)} ${one.r.width.toFixed(0)}x${one.r.height.toFixed(0)} by ${name(meets.e)}`);
  }

  // 1.3.1, 2.4.1, 2.4.2: one heading of the page, headings without a gap, one main part, its own title.
  const heads = [...document.querySelectorAll('h1, h2, h3, h4')].filter((e) => e.checkVisibility());
  if (heads.filter((e) => e.tagName === 'H1').length !== 1) faults.push(`${heads.filter((e) => e.tagName === 'H1').length} headings of the page`);
  heads.reduce((before, e) => { const level = Number(e.tagName[1]); if (level > before + 1) faults.push(`a heading is left out before ${name(e)}`); return level; }, 0);
  if (document.querySelectorAll('main').length !== 1) faults.push('not one main part');
  if (document.querySelector('[tabindex]:not([tabindex="0"], [tabindex="-1"])')) faults.push('an order of its own');
  // 2.3.3: whoever asked for less movement has none.
  if (matchMedia('(prefers-reduced-motion: reduce)').matches && document.getAnimations().some((a) => a.playState === 'running')) faults.push('moves');
  return [...new Set(faults)];
}

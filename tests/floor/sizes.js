// What is wrong with the sizes of a screen as it stands, in sentences. `zoom`: how many dots of the glass are one of the page.
(zoom) => {
  const faults = [], FREE = '.queue, .block-parts ul', INK = 0.18;
  const app = document.getElementById('app'), wide = document.documentElement.clientWidth;
  const shown = (e) => e.checkVisibility({ visibilityProperty: true }) && !e.closest('[hidden]');
  const name = (e) => `${e.tagName.toLowerCase()}${[...e.classList].map((c) => `.${c}`).join('')} "${(e.textContent || e.getAttribute('aria-label') || '').trim().slice(0, 30)}"`;
  const above = (e, test) => { for (let n = e.parentElement; n && n !== app; n = n.parentElement) if (test(getComputedStyle(n))) return n; return null; };
  /** Whatever can be scrolled into sight is not cut. */
  const scroller = (e) => above(e, ({ overflowY }) => ['auto', 'scroll'].includes(overflowY));
  const sheetOf = (e) => (['fixed', 'sticky'].includes(getComputedStyle(e).position) ? e : above(e, ({ position }) => ['fixed', 'sticky'].includes(position)));
  /** What is in sight of a box: [left, top, right, bottom], or null. */
  const inSight = (e, { left, top, right, bottom }) => {
    const port = scroller(e)?.getBoundingClientRect();
    if (port) [left, top, right, bottom] = [Math.max(left, port.left), Math.max(top, port.top), Math.min(right, port.right), Math.min(bottom, port.bottom)];
    return right - left > 1 && bottom - top > 1 ? [left, top, right, bottom] : null;
  };
  if (document.documentElement.scrollWidth > wide) faults.push(`scrolls sideways: ${document.documentElement.scrollWidth} of ${wide}`);

  // Texts: one box a line, as high as its ink.
  const walk = document.createTreeWalker(app, NodeFilter.SHOW_TEXT), texts = [];
  while (walk.nextNode()) {
    const node = walk.currentNode, element = node.parentElement;
    if (!node.data.trim() || !shown(element) || element.closest(FREE)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const { left, right, top, height } of range.getClientRects()) if (right - left > 1 && height > 1) texts.push({ element, left, right, top: top + INK * height, bottom: top + (1 - INK) * height });
  }
  for (const { element, ...r } of texts) {
    if (r.left < -1 || r.right > wide + 1) faults.push(`past the edge: ${name(element)} ${Math.round(r.left)}..${Math.round(r.right)}`);
    const end = scroller(element);
    for (let e = element; e && e !== app; e = e.parentElement) {
      const { overflowX, overflowY } = getComputedStyle(e), box = e.getBoundingClientRect(), key = e.matches('button, a');
      if ((key || overflowX !== 'visible') && (r.left < box.left - 1 || r.right > box.right + 1)) faults.push(`cut sideways: ${name(element)} in ${name(e)}`);
      if (e === end) break;
      if ((key || ['hidden', 'clip'].includes(overflowY)) && (r.top < box.top - 1 || r.bottom > box.bottom + 1)) faults.push(`cut: ${name(element)} in ${name(e)} by ${Math.round(Math.max(box.top - r.top, r.bottom - box.bottom))}`);
    }
  }
  texts.forEach((a, i) => texts.slice(i + 1).forEach((b) => {
    if (a.element === b.element || a.element.contains(b.element) || b.element.contains(a.element)) return;
    const across = Math.min(a.right, b.right) - Math.max(a.left, b.left), down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
    if (across > 2 && down > 2 && sheetOf(a.element) === sheetOf(b.element) && scroller(a.element) === scroller(b.element)) faults.push(`on each other: ${name(a.element)} / ${name(b.element)} ${down.toFixed(0)}`);
  }));

  // Keys: how large, how far apart, and nothing of them lies beyond their place.
  const least = (e) => (e.matches('.stepper button:not(.value), .grades button') ? 88 : e.matches('.pad button') ? 72 : 64);
  const keys = [...app.querySelectorAll('button, a[href], input, textarea, summary')].filter((e) => shown(e) && !e.closest('article'));
  const boxes = keys.map((e) => ({ e, r: e.getBoundingClientRect(), sight: inSight(e, e.getBoundingClientRect()), sheet: sheetOf(e) }));
  for (const { e, r } of boxes) if (r.height < least(e) / zoom - 0.5 || r.width < 64 / zoom - 0.5) faults.push(`small: ${name(e)} ${r.width.toFixed(0)}x${r.height.toFixed(0)}`);
  boxes.forEach(({ e, sight: a, sheet }, i) => boxes.slice(i + 1).forEach(({ e: f, sight: b, sheet: other }) => {
    if (!a || !b || sheet !== other || e.contains(f)) return;
    const gap = Math.max(b[0] - a[2], a[0] - b[2], b[1] - a[3], a[1] - b[3]);
    if (gap < 8 / zoom - 0.5) faults.push(`close: ${name(e)} / ${name(f)} ${gap.toFixed(1)}`);
  }));
  const finish = [...app.querySelectorAll('.finish')].find(shown)?.getBoundingClientRect();
  if (finish && finish.width * finish.height < innerWidth * innerHeight / 4) faults.push(`finish zone: ${(finish.width * finish.height / innerWidth / innerHeight).toFixed(3)} of the screen`);
  const moving = document.getAnimations().filter(({ playState }) => playState === 'running').length;
  if (matchMedia('(prefers-reduced-motion: reduce)').matches && moving) faults.push(`${moving} still move`);
  return [...new Set(faults)];
}

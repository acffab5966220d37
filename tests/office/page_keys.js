// Where the focus is, and what is wrong with how it shows (WCAG 2.2: 2.4.7, 2.4.11, 1.4.11).
() => {
  const OF_ITS_OWN = 'input[type=date], input[type=datetime-local], input[type=month], input[type=time], input[type=color], iframe, audio';
  const e = document.activeElement, faults = [];
  if (e === document.body || e === null) return { at: -1, faults };
  const words = (e.getAttribute('aria-label') || e.textContent || e.name || '').trim().replace(/\s+/g, ' ').slice(0, 40);
  const name = `${e.tagName.toLowerCase()}${e.id && `#${e.id}`} "${words}"`;
  const rgb = (c) => { const [r, g, b, a = 1] = c.match(/[\d.]+/g).map(Number); return { r, g, b, a }; };
  const light = ({ r, g, b }) => [r, g, b].map((v) => v / 255).map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)).reduce((sum, v, i) => sum + v * [0.2126, 0.7152, 0.0722][i], 0);
  const behind = (n) => { for (let p = n.parentElement; p; p = p.parentElement) { const c = rgb(getComputedStyle(p).backgroundColor); if (c.a > 0) return c; } return { r: 255, g: 255, b: 255 }; };
  const own = e.matches(OF_ITS_OWN), ring = getComputedStyle(e).opacity === '0' ? e.nextElementSibling : e;
  const { outlineStyle, outlineWidth, outlineColor } = getComputedStyle(ring);
  if (!own) {
    const [a, b] = [light(rgb(outlineColor)), light(behind(ring))].sort((x, y) => y - x);
    if (outlineStyle === 'none' || parseFloat(outlineWidth) < 2) faults.push(`no ring: ${name}`);
    else if ((a + 0.05) / (b + 0.05) < 3) faults.push(`a faint ring: ${name}`);
  }
  const box = ring.getClientRects()[0] ?? ring.getBoundingClientRect();
  const [left, right] = [Math.max(box.left, 0), Math.min(box.right, innerWidth)];
  const [top, bottom] = [Math.max(box.top, 0), Math.min(box.bottom, innerHeight)];
  const free = [[0.5, 0.5], [0.05, 0.2], [0.95, 0.8]].some(([x, y]) => {
    const hit = document.elementFromPoint(left + (right - left) * x, top + (bottom - top) * y);
    return hit && (ring.contains(hit) || e.contains(hit) || hit.contains(e) && hit.matches('label, a, summary, td, th') || [...(e.labels ?? [])].some((l) => l.contains(hit)));
  });
  if (!free && !e.matches('iframe')) faults.push(`hidden: ${name}`);
  return { at: window.stops.indexOf(e), faults, name };
}

// Cloning templates, and the few things every screen does with elements.

/** A copy of a template: its root, and `at`, its elements by `data-at`. */
export function stamp(id) {
  const root = document.getElementById(`t-${id}`).content.firstElementChild.cloneNode(true);
  const at = {};
  for (const element of root.querySelectorAll('[data-at]')) at[element.dataset.at] = element;
  if (root.dataset.at) at[root.dataset.at] = root;
  return { root, at };
}

/** Sets a text only where it changed, and hides what is empty. */
export function put(element, text) {
  const words = text ?? '';
  if (element.textContent !== words) element.textContent = words;
  element.hidden = words === '';
}

/** A list of texts; only what changed is touched. */
export function putLines(list, lines) {
  lines.forEach((words, i) => {
    const item = list.children[i] ?? list.appendChild(document.createElement('li'));
    if (item.textContent !== words) item.textContent = words;
  });
  while (list.children.length > lines.length) list.lastElementChild.remove();
}

let squeezed = new WeakMap();
addEventListener('resize', () => { squeezed = new WeakMap(); });

/** A text that must stay on one line is squeezed to its place rather than cut. Measuring makes the
 * browser lay out the page, so a text of the same length is not measured again. */
export function squeeze(element) {
  const { length } = element.textContent;
  if (squeezed.get(element) === length) return;
  squeezed.set(element, length);
  element.style.transform = 'none';
  const room = element.clientWidth, wide = element.scrollWidth;
  if (wide > room) element.style.transform = `scaleX(${room / wide})`;
}

export function key(words, press, className = '') {
  const button = document.createElement('button');
  button.type = 'button';
  button.textContent = words;
  button.className = className;
  button.addEventListener('click', press);
  return button;
}

/** The boil's letter on its pattern. */
export function badge({ letter, pattern }) {
  const { root, at } = stamp('badge');
  at.ground.setAttribute('fill', `url(#p-${pattern})`);
  at.letter.textContent = letter;
  root.setAttribute('aria-label', `Boil ${letter}`);
  return root;
}

/** A swatch of candy. */
export function swatch(colour) {
  const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
  svg.setAttribute('viewBox', '0 0 24 24');
  svg.setAttribute('class', 'swatch');
  svg.setAttribute('aria-hidden', 'true');
  const rect = document.createElementNS('http://www.w3.org/2000/svg', 'rect');
  for (const [name, value] of Object.entries({ width: 24, height: 24, fill: colour, stroke: '#1c1917', 'stroke-width': 2 })) rect.setAttribute(name, value);
  svg.append(rect);
  return svg;
}

/** One row of a list: `{what, more, press, mark, href}`. */
export function row({ what, more = '', press, mark }) {
  const { root, at } = stamp('row');
  at.what.textContent = what;
  put(at.more, more);
  if (mark) at.mark.append(mark); else at.mark.remove();
  at.press.addEventListener('click', press);
  return root;
}

/** `11:26`. */
export const clock = (ms) => new Date(ms).toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' });

/** `4 min ago`, `now`. */
export function ago(ms) {
  const minutes = Math.floor(ms / 60000);
  return minutes < 1 ? 'now' : `${minutes} min ago`;
}

// Cloning templates, and the few things every screen does with elements.

let reword = null;

/** What is done to every copy of a template before anybody sees it; null for nothing. */
export const wordsBy = (change) => { reword = change; };

/** A copy of a template: its root, and `at`, its elements by `data-at`. */
export function stamp(id) {
  const root = document.getElementById(`t-${id}`).content.firstElementChild.cloneNode(true);
  reword?.(root);
  const at = {};
  for (const element of root.querySelectorAll('[data-at]')) at[element.dataset.at] = element;
  return { root, at };
}

/** Changes the one text of an element; a new node would have to be styled. */
function setText(element, words) {
  const text = element.firstChild;
  if (text?.nodeType === Node.TEXT_NODE && !text.nextSibling) text.data = words; else element.textContent = words;
}

const shown = new WeakMap();

/** Sets a text only where it changed, and hides what is empty. Whoever puts a text here always does:
 * what stands is remembered, because asking the page costs more than the press itself. */
export function put(element, text) {
  const words = text ?? '';
  if (shown.get(element) === words) return;
  shown.set(element, words);
  setText(element, words);
  hide(element, words === '');
}

/** Sets an attribute only where it changed: writing one makes the browser style anew. */
export function attr(element, name, value) {
  if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}

/** Hides or shows only where that changes; written again it would have to be styled again. */
export function hide(element, hidden = true) {
  if (element.hidden !== hidden) element.hidden = hidden;
}

export function key(words, press, className = '') {
  const button = document.createElement('button');
  button.type = 'button';
  button.textContent = words;
  button.className = className;
  button.addEventListener('click', press);
  return button;
}

/** A key that is on or off; `press(on)`. */
export function toggle(words, on, press) {
  const button = key(words, () => { on = !on; show(); press(on); });
  const show = () => button.setAttribute('aria-pressed', String(on));
  show();
  return button;
}

/** One row of a list; without `press` it is only read. `mark` stands before the words, `end` after. */
export function row({ what, more = '', press, mark, end }) {
  const { root, at } = stamp(press ? 'row' : 'line');
  at.what.textContent = what;
  put(at.more, more);
  if (!press) return root;
  for (const [place, element] of [[at.mark, mark], [at.end, end]]) element ? place.append(element) : place.remove();
  at.press.addEventListener('click', press);
  return root;
}

/** A list of texts; only what changed is touched. */
export function putLines(list, lines) {
  lines.forEach((words, i) => put(list.children[i] ?? list.appendChild(document.createElement('li')), words));
  while (list.children.length > lines.length) list.lastElementChild.remove();
}

export function item(words, className = '') {
  return Object.assign(document.createElement('li'), { textContent: words, className });
}

// A page that is written anew in part keeps the focus, what is unfolded and how far a box is
// scrolled; and it says once to a screen reader what came (WCAG 2.2: 2.4.3, 3.2.2, 4.1.3).
const FOCUSABLE = 'a[href], button, input, select, textarea, summary, [tabindex]';
const BOXES = '.wide, details';

const told = document.getElementById('told');
let before = null, last = words();

const name = (e) => e.id || [e.tagName, e.getAttribute('href') ?? e.name, e.getAttribute('aria-label') ?? e.textContent.trim()].join(' ');
const alike = (selector, key) => [...document.querySelectorAll(selector)].filter((e) => name(e) === key);

/** Where an element stands among those that are called the same; that outlives a new writing. */
function place(selector, e) {
  const key = name(e);
  return { selector, key, nth: alike(selector, key).indexOf(e) };
}

const found = ({ selector, key, nth }) => alike(selector, key)[nth] ?? alike(selector, key)[0];

const box = (e) => (e.matches('details')
  ? { at: place('summary', e.querySelector('summary')), open: e.open }
  : { at: place(BOXES, e), left: e.scrollLeft });

document.addEventListener('htmx:beforeSwap', ({ detail: { target, shouldSwap } }) => {
  if (!shouldSwap) return;
  const focus = target.contains(document.activeElement) ? place(FOCUSABLE, document.activeElement) : null;
  before = { focus, boxes: [...target.querySelectorAll(BOXES)].map(box) };
});

document.addEventListener('htmx:afterSettle', () => {
  for (const { at, open, left } of before?.boxes ?? []) {
    const e = found(at);
    if (e && left === undefined) e.parentElement.open = open;
    else if (e) e.scrollLeft = left;
  }
  if (before?.focus && document.activeElement === document.body) found(before.focus)?.focus({ preventScroll: true });
  before = null;
  say();
});

/** The marked sentences of the page, once they are others than before. */
function say() {
  if (words() === last) return;
  last = words();
  told.textContent = last;
}

function words() {
  return [...document.querySelectorAll('[data-told]')].map((e) => e.dataset.told || e.textContent.trim()).join(' ');
}

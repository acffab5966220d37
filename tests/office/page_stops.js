// What a keyboard can stand on, in the order of the page: of a group of radio keys the chosen one.
() => {
  const all = [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary, iframe, audio[controls], [tabindex="0"]')];
  const group = ({ name, form }) => all.filter((e) => e.type === 'radio' && e.name === name && e.form === form);
  const stands = (e) => e.type !== 'radio' || e.checked || (group(e)[0] === e && !group(e).some(({ checked }) => checked));
  window.stops = all.filter((e) => !e.disabled && e.tabIndex >= 0 && e.checkVisibility({ visibilityProperty: true }) && stands(e));
  return window.stops.map((e) => e.outerHTML.slice(0, 90));
}

// A press-button or pedal is a key: it finishes the step, but only when nothing else has the focus.

export const FINISH = ['PageDown', 'ArrowRight', ' ', 'Enter'];
export const BUILT_IN = FINISH.length;
const DEAD_MS = 1500;

/** One press in a second and a half; what follows is a ghost. */
export function deadTime(wall = () => performance.now()) {
  let last = -DEAD_MS;
  return () => {
    if (wall() - last < DEAD_MS) return false;
    last = wall();
    return true;
  };
}

const onPage = (target) => target === document.body || target === document.documentElement || Boolean(target.closest?.('.finish, .board'));

/** A reading that is asked for does not hold up the next step: it is put off and owed. */
export function listenForFinish(screenNow) {
  addEventListener('keydown', (event) => {
    if (!FINISH.includes(event.key) || event.ctrlKey || event.altKey || event.metaKey) return;
    const screen = screenNow();
    if (!screen?.finish || !onPage(event.target) || document.querySelector('.panel:not(.reading)')) return;
    event.preventDefault();
    if (!event.repeat) screen.finish();
  });
}

const GHOST_MS = 400, NEAR = 12;
let lifted = { at: -GHOST_MS, x: 0, y: 0 };

/** The click that follows a finger's lift may land on what the press has just laid under it. */
addEventListener('click', (event) => {
  const near = Math.abs(event.clientX - lifted.x) < NEAR && Math.abs(event.clientY - lifted.y) < NEAR;
  if (!near || performance.now() - lifted.at > GHOST_MS) return;
  lifted.at = -GHOST_MS;
  event.stopImmediatePropagation();
  event.preventDefault();
}, { capture: true });

/** A press counts when the finger lifts; a click alone is a keyboard or a switch. */
export function onPress(element, done) {
  let down = false;
  element.addEventListener('pointerdown', () => { down = true; });
  element.addEventListener('pointercancel', () => { down = false; });
  element.addEventListener('pointerup', ({ clientX: x, clientY: y }) => {
    if (!down) return;
    down = false;
    lifted = { at: performance.now(), x, y };
    done();
  });
  // The finger is answered: no gesture, no mouse events and no click are made up for it.
  element.addEventListener('touchstart', (event) => event.preventDefault(), { passive: false });
  element.addEventListener('click', done);
}

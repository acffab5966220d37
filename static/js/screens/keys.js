// A press-button or pedal is a key: it finishes the step, but only when nothing else has the focus.

const FINISH = ['PageDown', 'ArrowRight', ' ', 'Enter'];
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

const onPage = (target) => target === document.body || target === document.documentElement || target.closest?.('.finish, .board');

export function listenForFinish(screenNow) {
  addEventListener('keydown', (event) => {
    if (!FINISH.includes(event.key) || event.ctrlKey || event.altKey || event.metaKey) return;
    const screen = screenNow();
    if (!screen?.finish || !onPage(event.target)) return;
    event.preventDefault();
    if (!event.repeat) screen.finish();
  });
}

const GHOST_MS = 600;

/** The click that follows a lifted finger would land on whatever the press has just brought there. */
function swallowGhost() {
  const until = performance.now() + GHOST_MS;
  const swallow = (event) => {
    removeEventListener('click', swallow, true);
    if (performance.now() < until && event.isTrusted) { event.stopImmediatePropagation(); event.preventDefault(); }
  };
  addEventListener('click', swallow, true);
  setTimeout(() => removeEventListener('click', swallow, true), GHOST_MS);
}

/** A press counts when the finger lifts; a click without one is a keyboard or a switch. */
export function onPress(element, done) {
  let down = false;
  element.addEventListener('pointerdown', () => { down = true; });
  element.addEventListener('pointercancel', () => { down = false; });
  element.addEventListener('pointerup', () => {
    if (!down) return;
    down = false;
    swallowGhost();
    done();
  });
  element.addEventListener('click', done);
}

// True size: CSS millimetres times what this screen was found to be off by, kept in this browser.

const KEY = 'kettleside-true-size';
const LOW = 0.5;
const HIGH = 2;

export function factorOf(text) {
  const value = Number.parseFloat(text ?? '');
  return value >= LOW && value <= HIGH ? value : 1;
}

function kept() {
  try {
    return factorOf(localStorage.getItem(KEY));
  } catch {
    return 1; // A browser that keeps nothing still shows plain millimetres.
  }
}

function keep(factor) {
  try {
    localStorage.setItem(KEY, String(factor));
  } catch {
    // Then it holds until the page is left.
  }
}

// What is meant to be true: an SVG whose width stands in millimetres.
function apply(factor) {
  const shown = document.querySelectorAll('svg.true-size, .true-size svg');
  for (const svg of shown) {
    for (const side of ['width', 'height']) {
      const millimetres = Number.parseFloat(svg.getAttribute(side));
      svg.style.setProperty(side, `${millimetres * factor}mm`);
    }
  }
}

function start() {
  const slider = document.querySelector('#ruler');
  const says = document.querySelector('#ruler-says');
  let factor = kept();
  const show = () => {
    slider.value = String(factor);
    says.textContent = factor.toFixed(2);
    apply(factor);
  };
  slider.addEventListener('input', () => {
    factor = factorOf(slider.value);
    keep(factor);
    show();
  });
  // Faces that come in later are true as well.
  document.body.addEventListener('htmx:afterSwap', () => apply(factor));
  show();
}

start();

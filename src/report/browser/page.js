// Draws, and draws again when theme, paper or the choice of verdicts changes; opens the fader that was asked for.
/* global Chart */
(() => {
  const { hidden, page, dark, makers } = window.sheet;
  const printWidthPx = 660;
  let living = [];

  const draw = () => {
    for (const chart of living) chart.destroy();
    living = Object.entries(makers).map(([id, make]) => new Chart(document.getElementById(id), make()));
  };

  dark.addEventListener('change', draw);
  window.addEventListener('beforeprint', () => {
    page.printing = true;
    for (const id of Object.keys(makers)) document.getElementById(`${id}-frame`).style.width = `${printWidthPx}px`;
    draw();
  });
  window.addEventListener('afterprint', () => {
    page.printing = false;
    for (const id of Object.keys(makers)) document.getElementById(`${id}-frame`).style.width = '';
    draw();
  });
  for (const button of document.querySelectorAll('button[data-word]')) {
    button.addEventListener('click', () => {
      const { word } = button.dataset;
      if (!hidden.delete(word)) hidden.add(word);
      button.setAttribute('aria-pressed', String(!hidden.has(word)));
      draw();
    });
  }

  const openTarget = () => {
    const target = location.hash === '' ? null : document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (target instanceof HTMLDetailsElement) {
      target.open = true;
      target.scrollIntoView();
    }
  };
  window.addEventListener('hashchange', openTarget);

  draw();
  openTarget();
})();

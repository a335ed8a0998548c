// Makes the spread twice as large and back.
const look = document.querySelector('[data-look]'), spread = document.querySelector('.spread');
look.hidden = false;
look.addEventListener('click', () => {
  const large = spread.classList.toggle('large');
  look.textContent = large ? 'See it whole' : 'Look closer';
  look.setAttribute('aria-pressed', large);
});
// Keeps what is ticked, where the browser lets a page keep anything.
const key = document.querySelector('main').dataset.ticks, ticked = new Set();
try { JSON.parse(localStorage.getItem(key) || '[]').forEach((name) => ticked.add(name)); } catch { ticked.clear(); }
const boxes = [...document.querySelectorAll('[data-tick]')], told = document.querySelector('[data-ticked]');
const show = () => {
  boxes.forEach((box) => { box.checked = ticked.has(box.dataset.tick); });
  const done = boxes.filter((box) => box.checked).length;
  told.hidden = boxes.length === 0;
  told.firstElementChild.textContent = `${done} of ${boxes.length} boxes on this page are ticked.`;
};
const keep = () => {
  try { localStorage.setItem(key, JSON.stringify([...ticked])); } catch { /* they last as long as the page */ }
  show();
};
boxes.forEach((box) => box.addEventListener('change', () => {
  if (box.checked) ticked.add(box.dataset.tick); else ticked.delete(box.dataset.tick);
  keep();
}));
told.lastElementChild.addEventListener('click', () => { ticked.clear(); keep(); });
show();

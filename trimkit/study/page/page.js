
// A page without a kernel: its labs live on the pictures stored in it, and what is typed into it stays in the browser.
// This text follows lab.js in the same script.

async function awake(place) {
  const text = atob(document.getElementById(place.dataset.frames).textContent);
  const bytes = new Uint8Array(text.length);
  for (let at = 0; at < text.length; at++) bytes[at] = text.charCodeAt(at);
  const {told, frames} = await unpacked(bytes);
  const lab = new Lab(told);
  lab.keep(frames);
  lab.mount(place.querySelector('.live'));
  place.setAttribute('aria-label', told.title);
  place.classList.add('awake');
}

for (const place of document.querySelectorAll('[data-frames]')) {
  awake(place).catch(() => { place.querySelector('.old').hidden = false; });
}

/** The browser's own store, or nothing where it has none or may not use it. */
function store() {
  try {
    localStorage.setItem('trimkit', '1');
    localStorage.removeItem('trimkit');
    return localStorage;
  } catch {
    return null;
  }
}

const kept = store(), fields = [...document.querySelectorAll('textarea')];
const keyOfField = field => `trimkit ${document.body.dataset.page} ${field.dataset.kept}`;

function fit(field) {
  field.style.height = 'auto';
  field.style.height = `${field.scrollHeight + 2}px`;
}

for (const field of fields) {
  field.value = kept?.getItem(keyOfField(field)) ?? '';
  fit(field);
  field.addEventListener('input', () => {
    fit(field);
    try {
      kept?.setItem(keyOfField(field), field.value);
    } catch { /* the store is full: the text stays on the page */ }
  });
}

if (kept && fields.length) {
  const note = document.querySelector('.kept');
  note.hidden = false;
  note.querySelector('button').addEventListener('click', () => {
    if (!confirm('Forget all that was typed on this page?')) return;
    for (const field of fields) {
      kept.removeItem(keyOfField(field));
      field.value = '';
      fit(field);
    }
  });
}

for (const moment of ['resize', 'beforeprint']) addEventListener(moment, () => fields.forEach(fit));

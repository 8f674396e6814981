// Small things that belong to the whole page: dropping files, times in the person's own zone, coming back after a break.

document.addEventListener('dragover', e => {
  if (e.dataTransfer?.types.includes('Files')) {
    e.preventDefault();
    document.querySelector('[data-drop]')?.classList.add('ready');
  }
});
document.addEventListener('dragleave', e => { if (!e.relatedTarget) document.querySelector('[data-drop]')?.classList.remove('ready'); });
document.addEventListener('drop', async e => {
  if (!e.dataTransfer?.types.includes('Files')) return;
  e.preventDefault();
  const zone = document.querySelector('[data-drop]');
  zone?.classList.remove('ready');
  const input = zone?.querySelector('#upload-files');
  if (!input) return;
  const entries = [...e.dataTransfer.items].map(i => i.webkitGetAsEntry?.()).filter(Boolean);
  const files = entries.length ? (await Promise.all(entries.map(filesOf))).flat() : [...e.dataTransfer.files];
  const taken = new DataTransfer();
  for (const file of files.map(f => withPath(f, f.webkitRelativePath))) taken.items.add(file);
  input.files = taken.files;
  input.dispatchEvent(new Event('change', { bubbles: true }));
});

// A chosen folder sends its files by their bare names: which folder each lay in says what they are called together, and
// tells those of the same name apart. The framework's own listener comes after this one.
document.addEventListener('change', e => {
  const input = e.target;
  if (input.id !== 'upload-folder' || ![...input.files].some(f => f.webkitRelativePath)) return;
  const named = new DataTransfer();
  for (const file of input.files) named.items.add(withPath(file, file.webkitRelativePath));
  input.files = named.files;
}, true);
function withPath(file, path) { return path ? new File([file], path.replaceAll('/', '\\'), { type: file.type, lastModified: file.lastModified }) : file; }

// A text that is pasted by mistake must not break the connection: it is cut to what one message holds, which is more than any
// field takes, so that the page says what is wrong with it. Half of a pair of surrogates is no character (Unicode, section 3.8).
const LONGEST_TEXT = 300_000;
for (const kind of ['input', 'change']) {
  document.addEventListener(kind, e => {
    const field = e.target;
    if (field.localName !== 'textarea' && !(field.localName === 'input' && /^(text|search|url|tel|email|)$/.test(field.getAttribute('type') ?? ''))) return;
    const text = field.value.slice(0, LONGEST_TEXT).toWellFormed();
    if (text !== field.value) field.value = text;
  }, true);
}

const MOST_DEEP = 6;
async function filesOf(entry, deep = 0) {
  if (entry.isFile) return [withPath(await new Promise((done, fail) => entry.file(done, fail)), deep > 0 ? entry.fullPath.slice(1) : '')];
  if (!entry.isDirectory || deep > MOST_DEEP) return [];
  const reader = entry.createReader();
  const found = [];
  for (;;) {
    const some = await new Promise((done, fail) => reader.readEntries(done, fail));
    if (some.length === 0) break;
    for (const one of some) found.push(...await filesOf(one, deep + 1));
  }
  return found;
}

// Goes past the head of the page; the link's own way would be an address, and leave the keyboard where it was.
document.addEventListener('click', e => {
  if (!e.target.closest?.('a.skip')) return;
  e.preventDefault();
  e.stopPropagation();
  document.getElementById('content')?.focus();
}, true);

// A fault that was found in a text leads to its place there.
document.addEventListener('click', e => {
  const way = e.target.closest?.('[data-caret]');
  const field = way && document.getElementById(way.dataset.caret);
  if (!field) return;
  const lines = field.value.split('\n');
  const line = Math.min(Math.max(+way.dataset.line, 1), lines.length) - 1;
  const start = lines.slice(0, line).reduce((sum, l) => sum + l.length + 1, 0);
  const caret = start + Math.min(Math.max(+way.dataset.column, 1) - 1, lines[line].length);
  field.focus();
  field.setSelectionRange(caret, start + lines[line].length);
  field.scrollTop = Math.max(0, (line - 3) * (parseFloat(getComputedStyle(field).lineHeight) || 18));
});

// An address may lead to a field (#set-NAME), which is there only once the page is drawn.
let reached = '';
document.addEventListener('click', e => { if (e.target.closest?.('a[href*="#set-"]')) reached = ''; }, true);
function reach() {
  if (!location.hash.startsWith('#set-') || reached === location.href) return;
  const field = document.getElementById(location.hash.slice(1));
  // The page that one comes from may have such a field too.
  const here = document.querySelector('.places [aria-current]');
  if (!field || (here && here.pathname !== location.pathname)) return;
  reached = location.href;
  // The page gives its title the keyboard when it is drawn, on a busy machine some time later: then the field takes it from there.
  const taken = new Set([document.body, null]);
  for (const wait of [100, 400, 1000, 2500]) {
    setTimeout(() => {
      const now = document.activeElement;
      if (location.href === reached && (wait === 100 || taken.has(now) || now.tagName === 'H1')) { field.scrollIntoView({ block: 'center' }); field.focus(); }
    }, wait);
  }
}

// Of several tabs one takes the Tab key; arrows go to the others (WAI-ARIA Authoring Practices, tabs).
document.addEventListener('keydown', e => {
  const tab = e.target.closest?.('[role="tab"]');
  if (!tab || e.ctrlKey || e.altKey || e.metaKey) return;
  const tabs = [...tab.parentElement.querySelectorAll('[role="tab"]')];
  const at = tabs.indexOf(tab);
  const to = { ArrowRight: (at + 1) % tabs.length, ArrowLeft: (at + tabs.length - 1) % tabs.length, Home: 0, End: tabs.length - 1 }[e.key];
  if (to === undefined) return;
  e.preventDefault();
  tabs[to].focus();
  tabs[to].click();
});

const shown = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' });
function localTimes() {
  for (const time of document.querySelectorAll('time[data-local-time]')) {
    const text = shown.format(new Date(time.dateTime));
    if (time.textContent !== text) time.textContent = text;
  }
}
new MutationObserver(() => { localTimes(); reach(); }).observe(document.body, { childList: true, subtree: true });
localTimes();

// The framework says by a class and an event how the connection stands.
const modal = document.getElementById('components-reconnect-modal');
modal?.addEventListener('components-reconnect-state-changed', e => {
  if (e.detail.state === 'show' && !modal.open) { modal.showModal(); leaveWhenLocked(); }
  else if (e.detail.state === 'hide') modal.close();
  else if (e.detail.state === 'failed') wait();
  else if (e.detail.state === 'rejected') location.reload();
});
document.getElementById('reconnect-again')?.addEventListener('click', again);
function wait() { setTimeout(again, 2000); }
async function again() {
  try {
    // False: the program runs, but knows this page no longer; a new page has all that was kept.
    if (!await Blazor.reconnect()) location.reload();
  } catch { if (!await leaveWhenLocked()) wait(); }
}
// Locked in another window, or too long ago: what is shown is covered by the page that asks for the password.
async function leaveWhenLocked() {
  try {
    if ((await fetch('/', { redirect: 'manual', cache: 'no-store' })).type !== 'opaqueredirect') return false;
  } catch { return false; }
  location.replace('/password');
  return true;
}

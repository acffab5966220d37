// The least a page can do: forty rows, a press turns one and writes one record, durably.
const list = document.getElementById('rows');
for (let i = 0; i < 40; i++) {
  const row = document.createElement('li');
  row.textContent = `Row ${i}`;
  list.append(row);
}
if (new URLSearchParams(location.search).has('worker')) navigator.serviceWorker.register('worker.js');

const open = new Promise((done, fail) => {
  const request = indexedDB.open('floor', 1);
  request.onupgradeneeded = () => request.result.createObjectStore('events', { autoIncrement: true });
  request.onsuccess = () => done(request.result);
  request.onerror = () => fail(request.error);
});

async function write() {
  const store = await open;
  return new Promise((done, fail) => {
    const transaction = store.transaction('events', 'readwrite', { durability: 'strict' });
    transaction.objectStore('events').add({ kind: 'step_done', at: Date.now(), text: 'x'.repeat(200) });
    transaction.oncomplete = done;
    transaction.onabort = () => fail(transaction.error);
  });
}

list.addEventListener('click', async (event) => {
  event.target.closest('li')?.classList.toggle('done');
  await write();
  performance.mark('kept');
});
performance.mark('tappable');

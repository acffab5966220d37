// Sends the events of a file up and takes them down on a second database: node client.cjs URL EVENTS FOLDER
const [url, file, folder] = process.argv.slice(2);
const { createRequire } = require('node:module'), { join } = require('node:path'), { readFileSync } = require('node:fs');
const Database = createRequire(join(process.env.PEER_MODULES, 'x.js'))('pouchdb');
const documents = readFileSync(file, 'utf8').trimEnd().split('\n').map((line) => {
  const event = JSON.parse(line);
  return { _id: `${event.device}-${String(event.seq).padStart(8, '0')}`, ...event };
});
const batches = { batch_size: 1000, batches_limit: 10 };

async function seconds(work) {
  const start = performance.now();
  await work();
  return (performance.now() - start) / 1000;
}

(async () => {
  const [one, two] = ['one', 'two'].map((name) => new Database(join(folder, name)));
  await one.bulkDocs(documents);
  await new Database(url).info();
  const up = await seconds(() => Database.replicate(one, url, batches));
  console.log(JSON.stringify({ up }));
  await new Promise((done) => process.stdin.once('data', done));
  const down = await seconds(() => Database.replicate(url, two, batches));
  const { doc_count: came } = await two.info();
  if (came !== documents.length) throw new Error(`${came} of ${documents.length} came`);
  console.log(JSON.stringify({ down }));
  process.exit();
})();

// A document database that speaks its replication protocol over HTTP: node server.cjs PORT FOLDER
const [port, folder] = process.argv.slice(2);
process.chdir(folder);
const { createRequire } = require('node:module'), { join } = require('node:path');
const load = createRequire(join(process.env.PEER_MODULES, 'x.js'));
const express = load('express'), Database = load('pouchdb').defaults({ prefix: `${folder}/` });
const options = { mode: 'minimumForPouchDB', inMemoryConfig: true, logPath: join(folder, 'log.txt') };
express().use('/', load('express-pouchdb')(Database, options)).listen(Number(port), '127.0.0.1', () => console.log('ready'));

// One step as a phone shows it: the floor's own screens over an example boil that takes no press.

import { stationScreen } from '../screens/station.js';
import { beginOf, eventsUpTo, exampleContext, lay } from './example.js';

const app = document.getElementById('app'), sheet = JSON.parse(document.getElementById('sheet').textContent), step = document.querySelector('meta[name=step]').content;
const ctx = exampleContext(sheet, eventsUpTo(sheet, step, beginOf(sheet)));
app.inert = true;
lay(ctx, stationScreen(ctx, sheet.batch, sheet.steps[step].station));

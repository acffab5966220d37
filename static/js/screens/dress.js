// The style of what comes after the first pack: here before anything that wants it is drawn.

import { lookOf } from './guide.js';

await lookOf('rest');

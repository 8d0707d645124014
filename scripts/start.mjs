/** Installs and builds what is missing or stale, then runs the server in this very process. */
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { prepare } from './prepare.mjs';
import { BUILD } from './project.mjs';

prepare();
await import(pathToFileURL(join(BUILD, 'server', 'main.js')).href);

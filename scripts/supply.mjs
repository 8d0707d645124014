/**
 * What the project is made of that others wrote: `npm run supply` lists each package with its version and licence, refuses what
 * runs code as it is installed, is not pinned, or has a licence that nobody has looked at, and asks the registry what is known
 * against any of them. Exit code 1 where something has to be looked at; a registry that does not answer is told of and is none.
 */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { PROJECT } from './project.mjs';

/** Looked at: each lets a program be used and passed on, MPL-2.0 as long as its own files stay under it. */
export const LICENCES = [
  ...['MIT', 'ISC', '0BSD', 'BSD-2-Clause', 'BSD-3-Clause', 'Apache-2.0', 'BlueOak-1.0.0', 'MPL-2.0'],
  ...['MIT OR Apache-2.0', 'Apache-2.0 AND BSL-1.0', 'CC0-1.0', 'Unlicense'],
];

/** What is known against a package and does not touch this program: its advisory, and why. */
export const ANSWERED = {};

/** @returns {{packages: {name: string, version: string, licence: string, isShipped: boolean}[], faults: string[]}} */
export function lookAt(manifest, lock) {
  const faults = [];
  for (const [name, wanted] of Object.entries({ ...manifest.dependencies, ...manifest.devDependencies }))
    if (!/^\d+\.\d+\.\d+(-[\w.-]+)?$/.test(wanted)) faults.push(`${name} is not pinned: ${wanted}`);
  const packages = Object.entries(lock.packages)
    .filter(([path]) => path !== '')
    .map(([path, entry]) => {
      const name = path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length);
      const licence = entry.license ?? 'none stated';
      if (entry.hasInstallScript) faults.push(`${name} runs a script as it is installed`);
      if (!entry.integrity) faults.push(`${name} has no checksum in the lock file`);
      if (entry.resolved) faults.push(`${name} is bound to one registry's address in the lock file`);
      if (!LICENCES.includes(licence))
        faults.push(`${name} has a licence that nobody has looked at: ${licence}`);
      return { name, version: entry.version, licence, isShipped: !entry.dev && !entry.devOptional };
    });
  return { packages, faults };
}

/** What the registry knows against them, one line each; null where it does not answer. */
export function readAudit(text) {
  let audit;
  try {
    audit = JSON.parse(text);
  } catch {
    return null;
  }
  if (typeof audit !== 'object' || audit === null || typeof audit.vulnerabilities !== 'object') return null;
  return Object.values(audit.vulnerabilities).flatMap(({ name, severity, via }) =>
    via
      .filter((one) => typeof one === 'object' && !Object.hasOwn(ANSWERED, one.url))
      .map(({ title, url }) => `${name} (${severity}): ${title}, ${url}`),
  );
}

function main() {
  const read = (name) => JSON.parse(readFileSync(join(PROJECT, name), 'utf8'));
  const { packages, faults } = lookAt(read('package.json'), read('package-lock.json'));
  for (const { name, version, licence, isShipped } of packages)
    console.log(`${name} ${version}  ${licence}${isShipped ? '' : '  (tests and building only)'}`);
  const { stdout } = spawnSync('npm', ['audit', '--json'], {
    cwd: PROJECT,
    encoding: 'utf8',
    shell: process.platform === 'win32',
    timeout: 120_000,
  });
  const known = readAudit(stdout ?? '');
  if (known === null) console.log('The registry gave no audit: nothing is known for or against them.');
  for (const line of [...faults, ...(known ?? [])]) console.log(`Look at: ${line}`);
  console.log(`${packages.length} packages, ${faults.length + (known?.length ?? 0)} to look at`);
  process.exitCode = faults.length + (known?.length ?? 0) > 0 ? 1 : 0;
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) main();
